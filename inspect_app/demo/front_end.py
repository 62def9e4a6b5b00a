"""The built front end: whether it is there and newer than its sources, and how it is made."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

OLDEST_NODE = (20, 19)
# Whatever changes what a browser gets: the engine travels to the phone too.
SOURCES = ("frontend", "inspect_app/engine", "inspect_app/drawings")
NOT_SOURCES = {"node_modules", "dist", "__pycache__"}
NOT_TO_COMPRESS = ("br", "gz", "woff2", "png", "mjs", "wasm", "bin")


class CannotBuild(Exception):  # noqa: N818 - a sentence for the person at the keyboard
    """Why the front end cannot be built; one plain sentence."""


def is_built(root: Path) -> bool:
    """True if the page is there and nothing it is made from is newer."""
    page = root / "frontend" / "dist" / "index.html"
    if not page.exists():
        return False
    built_at = page.stat().st_mtime
    return all(path.stat().st_mtime <= built_at for path in _sources(root))


def is_compressed(root: Path) -> bool:
    """True if every script has its compressed twin beside it, which WhiteNoise then sends."""
    scripts = (root / "frontend" / "dist" / "assets").glob("*.js")
    return all(script.with_name(f"{script.name}.br").exists() for script in scripts)


def compress(root: Path) -> None:
    """Compress what is built, once; the engine's files bring their twins.  Raises CannotBuild."""
    command = [sys.executable, "-m", "whitenoise.compress", "-q", "dist", *NOT_TO_COMPRESS]
    _run(command, root / "frontend")


def build(root: Path, *, say: Callable[[str], None]) -> None:
    """Install what is locked, and build.  Raises CannotBuild."""
    npm = _npm()
    folder = root / "frontend"
    if not os.access(folder, os.W_OK):
        raise CannotBuild(
            f"{folder} cannot be written to, and the app is not built yet. "
            "Copy the program to a folder of your own."
        )
    say("Building the app for the phone (once) ...")
    if not _is_installed(folder):
        _run([npm, "ci", "--no-audit", "--no-fund"], folder)
    _run([npm, "run", "build"], folder)


def _sources(root: Path) -> Iterator[Path]:
    waiting = [root / source for source in SOURCES]
    while waiting:
        for path in waiting.pop().iterdir():
            if path.name in NOT_SOURCES:
                continue
            if path.is_dir():
                waiting.append(path)
            else:
                yield path


def _npm() -> str:
    oldest = ".".join(map(str, OLDEST_NODE))
    wanted = f"Install Node {oldest} or newer (nodejs.org), then run this again."
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        raise CannotBuild(f"Node is needed once, to build the app, and is not installed. {wanted}")
    version = subprocess.run(  # noqa: S603 - the node that was just found
        [node, "--version"], capture_output=True, text=True, check=False
    )
    found = re.match(r"v(\d+)\.(\d+)", version.stdout)
    if found is None or (int(found[1]), int(found[2])) < OLDEST_NODE:
        raise CannotBuild(f"Node {version.stdout.strip() or '(unknown)'} is too old. {wanted}")
    return npm


def _is_installed(folder: Path) -> bool:
    # npm writes this file last; older than the lock file means that something else is locked now.
    done, lock = folder / "node_modules" / ".package-lock.json", folder / "package-lock.json"
    return done.exists() and done.stat().st_mtime >= lock.stat().st_mtime


def _run(command: list[str], folder: Path) -> None:
    try:
        done = subprocess.run(  # noqa: S603 - the commands of `build`, nothing from outside
            command, cwd=folder, capture_output=True, text=True, check=False
        )
    except OSError as error:
        raise CannotBuild(f"{command[0]} cannot be run: {error.strerror}.") from None
    if done.returncode != 0:
        last_lines = "\n".join((done.stdout + done.stderr).strip().splitlines()[-15:])
        raise CannotBuild(f"`{' '.join(command)}` did not work:\n{last_lines}")
