"""`manage.py send_hooks [--every 20]`: tell other programs what is due, once or for ever."""

import time
from argparse import ArgumentParser

from django.core.management.base import BaseCommand

from inspect_app.hooks.sending import send_due


class Command(BaseCommand):
    """One beside the server is enough; several do no harm."""

    help = "Send what is due to other programs; with --every, again and again."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """How often."""
        parser.add_argument("--every", type=float, metavar="SECONDS")

    def handle(self, *, every: float | None, **_options: object) -> None:
        """How many attempts were made, where it was asked for once."""
        made = send_due()
        while every is not None:
            time.sleep(every)
            send_due()
        self.stdout.write(f"{made} sent or tried.")
