"""A real server with its own data folder, and a real browser at phone size."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from inspect_app.demo.front_end import build, compress, is_built, is_compressed
from tests.browser.gate import Gate

ROOT = Path(__file__).resolve().parents[2]
PHONE = {"width": 390, "height": 844}
BROWSER_FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
_HOW = "no browser found: install Debian's package chromium to run these"


def browser_path() -> str | None:
    """The browser of this machine, or None."""
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if (path := shutil.which(name))), None)


def needs(found: str | None, how: str) -> str:
    """What was found; skipped where it is missing, a failure in CI."""
    if found is None:
        if os.environ.get("CI"):
            pytest.fail(how)
        pytest.skip(how)
    return found


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "tests/browser" in str(item.path):
            item.add_marker(pytest.mark.browser)


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


@pytest.fixture(scope="session")
def built_front_end() -> None:
    """The front end as it is served; built only where it is not, so that a running demo stands."""
    needs(shutil.which("npm"), "no Node found: install Node 20 or later to run these")
    if not is_built(ROOT):
        build(ROOT, say=print)
    if not is_compressed(ROOT):
        compress(ROOT)


class OwnServer:
    """A server of our own: gunicorn, SQLite, a data folder."""

    def __init__(self, data: Path) -> None:
        self.data = data
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.start()

    def start(self) -> None:
        """Make the database where there is none, and serve."""
        # Every test is a private person of its own, all from this address.
        environment = {
            **os.environ, "INSPECT_DATA_DIR": str(self.data), "INSPECT_NEW_PRIVATE": "1000",
        }  # fmt: skip
        environment.pop("DJANGO_SETTINGS_MODULE", None)
        manage = [sys.executable, str(ROOT / "manage.py")]
        subprocess.run([*manage, "migrate", "-v0"], cwd=ROOT, env=environment, check=True)
        self.process = subprocess.Popen(
            [
                sys.executable, "-m", "gunicorn", "inspect_app.wsgi",
                "--bind", f"127.0.0.1:{self.port}",
                "--workers", "1", "--threads", "8", "--log-level", "warning",
            ],
            cwd=ROOT,
            env=environment,
        )  # fmt: skip
        _wait_for(self.address)

    def stop(self) -> None:
        """Serve no more."""
        self.process.terminate()
        self.process.wait(timeout=20)

    def lose_everything(self) -> None:
        """The machine it ran on is gone: database, photos, key. Another one takes its address."""
        self.stop()
        shutil.rmtree(self.data)
        self.data.mkdir()
        self.start()


@pytest.fixture(scope="session")
def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the server of the tests keeps its data."""
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="session")
def server(built_front_end: None, data_folder: Path) -> Iterator[str]:
    """Address of the server all tests share."""
    running = OwnServer(data_folder)
    yield running.address
    running.stop()


@pytest.fixture
def gate(server: str) -> Iterator[Gate]:
    """What stands before that server; a phone that goes through it can lose its signal."""
    standing = Gate(server)
    yield standing
    standing.close()


@pytest.fixture
def own_server(built_front_end: None, tmp_path: Path) -> Iterator[OwnServer]:
    """A server for one test that stops it, or throws its data away."""
    running = OwnServer(tmp_path / "data")
    yield running
    running.stop()


def _wait_for(address: str) -> None:
    for _ in range(200):
        try:
            with urllib.request.urlopen(address, timeout=10):  # noqa: S310 - our own server
                return
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            time.sleep(0.1)
    pytest.fail(f"the server at {address} did not answer within 20 s")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = needs(browser_path(), _HOW)
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=path, args=BROWSER_FLAGS)
        yield opened
        opened.close()


# A browser that can keep no files: it gets no engine of its own, and the server grades.  It knows
# no service workers at all: one that is only blocked registers as nothing, which no browser does.
CANNOT_KEEP_FILES = "delete window.caches; delete Navigator.prototype.serviceWorker"


def new_phone(browser: Browser, address: str, *, keeps_files: bool = False) -> BrowserContext:
    """A phone: 390 × 844, touch, English.

    Without service worker and engine unless a test is about them: they cost each page seconds.
    """
    context = browser.new_context(
        service_workers="allow" if keeps_files else "block",
        viewport=PHONE,
        device_scale_factor=2,
        has_touch=True,
        is_mobile=True,
        locale="en-US",
        base_url=address,
        accept_downloads=True,
    )
    if not keeps_files:
        context.add_init_script(CANNOT_KEEP_FILES)
    return context


@pytest.fixture
def phone(browser: Browser, server: str) -> Iterator[BrowserContext]:
    """A phone that asks the server for the grade."""
    context = new_phone(browser, server)
    yield context
    context.close()


@pytest.fixture
def page(phone: BrowserContext) -> Page:
    """A page that fails the test on a script error."""
    return new_page(phone)


def new_page(phone: BrowserContext) -> Page:
    """A page that keeps its script errors."""
    opened = phone.new_page()
    opened.set_default_timeout(15_000)
    errors: list[str] = []
    opened.on("pageerror", lambda error: errors.append(str(error)))
    opened.script_errors = errors  # type: ignore[attr-defined]
    return opened
