"""`manage.py signing_key "Kiln yard" [--pkcs12 FILE]`: with which key reports are signed."""

import getpass
from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from inspect_app.people.named_organisation import organisation_called
from inspect_app.reports.keys import KeyRefused, key_of, take_own_key, why_not_own_key


class Command(BaseCommand):
    """Tells an organisation's key, or puts its own certificate in place of the self-made one."""

    help = "Tell the fingerprint of the key an organisation signs with, or take its own key."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Whose key, and which file."""
        parser.add_argument("organisation", help="its name")
        parser.add_argument(
            "--pkcs12", type=Path, help="a .p12 or .pfx file; its passphrase is asked for"
        )

    def handle(self, *, organisation: str, pkcs12: Path | None, **_options: object) -> None:
        """One line: who signs, until when, and the fingerprint."""
        found = organisation_called(organisation)
        try:
            key = key_of(found)
            if pkcs12 is not None:
                file = pkcs12.read_bytes()
                key = take_own_key(found, file, getpass.getpass("Passphrase: "))
        except (OSError, KeyRefused) as error:
            raise CommandError(str(error)) from None
        until = key.certificate.not_valid_after_utc
        self.stdout.write(f"{key.name}, valid until {until:%Y-%m-%d}, SHA-256 {key.fingerprint}")
        if why := why_not_own_key(found):
            self.stderr.write(why)
