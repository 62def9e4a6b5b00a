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
from inspect_app.demo.network import THIS_MACHINE, addresses_for_others, in_brackets, url_of
from inspect_app.demo.scenario import ScenarioRefused, load_scenario, sign_ins
from inspect_app.people.models import Organisation

SCENARIO = Path("fixtures") / "demo" / "scenario.json"

# What the standard calls a secure context: HTTPS, or localhost on the machine itself.
PLAIN_HTTP = """\
  Not encrypted: for trying, in a network you trust. The walk, photos, the grade and the report work
  there. Opening without a signal, the home screen, grading on the phone, the bounce by the motion
  sensor and scanning a label need HTTPS: browsers allow them on https:// and localhost only.
"""


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
            "--host",
            default=THIS_MACHINE,
            help="0.0.0.0 lets phones in the same network open it, unencrypted "
            "(default: this machine only)",
        )
        parser.add_argument(
            "--prepare", action="store_true", help="build and load, without serving"
        )

    def handle(self, *, host: str, port: int, prepare: bool, **_options: object) -> None:
        """Say one clear sentence where it cannot go on, and exit 1."""
        try:
            _check_folder(settings.DATA_DIR)
            if not prepare:
                _check_port(host, port)
            if not is_built(settings.BASE_DIR):
                build(settings.BASE_DIR, say=self.stdout.write)
            if not is_compressed(settings.BASE_DIR):
                compress(settings.BASE_DIR)
            self._prepare_database(site=settings.ADDRESS or f"http://localhost:{port}/")
        except (CannotStart, CannotBuild, ScenarioRefused) as error:
            self.stderr.write(str(error))
            raise SystemExit(1) from None
        if not prepare:
            self._serve(host, port)

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

    def _serve(self, host: str, port: int) -> None:
        from inspect_app.demo.server import DemoServer

        others = addresses_for_others(host)
        # The page posts to its own address, which the check against forgery takes as it is.
        settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, *map(in_brackets, others)]
        address = f"{in_brackets(host)}:{port}"
        DemoServer(address, when_ready=lambda: self._greet(host, port)).run()

    def _greet(self, host: str, port: int) -> None:
        others = addresses_for_others(host)
        here = host if host in others else "localhost"  # one address alone is not localhost
        lines = [f"\nReady: {url_of(here, port)}   (stop with Ctrl-C)\n"]
        lines += [f"On a phone in the same network: {url_of(one, port)}" for one in others]
        lines += [PLAIN_HTTP] if others else []
        lines.append("Sign in as")
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


def _check_port(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError) as error:
            if isinstance(error, socket.gaierror) or (
                isinstance(error, OSError) and error.errno == errno.EADDRNOTAVAIL
            ):
                raise CannotStart(
                    f"This machine has no address {host}. Try --host 0.0.0.0 for all it has."
                ) from None
            other = port + 1 if 1024 <= port < 65535 else 8001
            raise CannotStart(
                f"Port {port} is in use or not allowed. Try another: --port {other}."
            ) from None
