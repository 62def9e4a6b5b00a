"""`manage.py demo`: build, load the invented scenario once, serve."""

import errno
import hashlib
import os
import socket
import tempfile
from argparse import ArgumentParser
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import connection, connections

from inspect_app.demo.front_end import CannotBuild, build, compress, is_built, is_compressed
from inspect_app.demo.scenario import ScenarioRefused, load_scenario, sign_ins
from inspect_app.people.models import Organisation

SCENARIO = Path("fixtures") / "demo" / "scenario.json"


class CannotStart(Exception):  # noqa: N818 - a sentence for the person at the keyboard
    """Why the demo cannot run here."""


class Command(BaseCommand):
    """The whole program with an invented scenario, for trying."""

    help = "Build what is not built, load an invented scenario once, and serve on this machine."
    requires_system_checks: tuple[str, ...] = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Where to serve."""
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument(
            "--prepare", action="store_true", help="build and load, without serving"
        )

    def handle(self, *, port: int, prepare: bool, **_options: object) -> None:
        """Say one clear sentence where it cannot go on, and exit 1."""
        try:
            _check_folder(settings.DATA_DIR)
            if not prepare:
                _check_port(port)
            if not is_built(settings.BASE_DIR):
                build(settings.BASE_DIR, say=self.stdout.write)
            if not is_compressed(settings.BASE_DIR):
                compress(settings.BASE_DIR)
            self._prepare_database(site=settings.ADDRESS or f"http://localhost:{port}/")
        except (CannotStart, CannotBuild, ScenarioRefused) as error:
            self.stderr.write(str(error))
            raise SystemExit(1) from None
        if not prepare:
            self._serve(port)

    def _prepare_database(self, *, site: str) -> None:
        call_command("migrate", verbosity=0, interactive=False)
        loaded = settings.DATA_DIR / "scenario_loaded"
        scenario = settings.BASE_DIR / SCENARIO
        stamp = hashlib.sha256(scenario.read_bytes()).hexdigest()
        if not loaded.exists():
            _check_nobody_works_here()
            self.stdout.write("Loading the invented scenario (once) ...")
            load_scenario(scenario, site=site)
            loaded.write_text(stamp)
        elif loaded.read_text() != stamp:
            # What people tried out since is theirs: nothing is loaded over it.
            self.stdout.write(
                f"The scenario is newer than the one loaded; delete {settings.DATA_DIR} to have it."
            )
        if connection.vendor == "sqlite":
            connections.close_all()  # a SQLite connection must not be carried into the workers

    def _serve(self, port: int) -> None:
        from inspect_app.demo.server import DemoServer

        DemoServer(f"127.0.0.1:{port}", when_ready=lambda: self._greet(port)).run()

    def _greet(self, port: int) -> None:
        lines = [f"\nReady: http://localhost:{port}/   (stop with Ctrl-C)\n", "Sign in as"]
        for organisation, username, password in sign_ins(settings.BASE_DIR / SCENARIO):
            lines.append(f"  {username:<8} {password:<16} {organisation}")
        lines.append("or start without signing in. The scenario is invented.\n")
        self.stdout.write("\n".join(lines))
        self.stdout.flush()


def _check_folder(folder: Path) -> None:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise CannotStart(
            f"{folder} cannot be written to ({os.strerror(error.errno or errno.EACCES)}). "
            "Copy the program to a folder of your own, or name one in INSPECT_DATA_DIR."
        ) from None


def _check_nobody_works_here() -> None:
    if Organisation.objects.exists():
        raise CannotStart(
            "This database holds real work; the demo's sign-ins are public and are not put into "
            "it. Leave INSPECT_DATABASE_URL and INSPECT_DATA_DIR unset to try the demo."
        )


def _check_port(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except (OSError, OverflowError):
            other = port + 1 if 1024 <= port < 65535 else 8001
            raise CannotStart(
                f"Port {port} is in use or not allowed. Try another: --port {other}."
            ) from None
