"""`manage.py plan --budget 2000 --hours 20 RECORD.json…`: which repairs of a fleet to do."""

from argparse import ArgumentParser, ArgumentTypeError
from decimal import Decimal, InvalidOperation
from pathlib import Path

from inspect_app.engine import api as engine
from inspect_app.engine.errors import RecordError
from inspect_app.reports.management.from_files import (
    BadInput,
    FromFiles,
    add_rulebook,
    read_text,
    rulebook_in,
)


def amount(text: str) -> Decimal:
    """A number that is 0 or more."""
    try:
        told = Decimal(text)
    except InvalidOperation:
        raise ArgumentTypeError(f"{text!r} is not a number; write e.g. 2000") from None
    if not told.is_finite() or told < 0:
        raise ArgumentTypeError(f"{text!r} is not 0 or more")
    return told


class Command(FromFiles):
    """The best repairs of several machines within money and hours."""

    help = "Which repairs to do within a budget: high risk first, then what saves most."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The records, the budget, whose rules."""
        parser.add_argument("records", type=Path, nargs="+", metavar="RECORD.json")
        parser.add_argument(
            "--budget", type=amount, required=True, help="money, in the price book's currency"
        )
        parser.add_argument("--hours", type=amount, required=True, help="hours of work there are")
        add_rulebook(parser)

    def handle(
        self,
        *,
        records: list[Path],
        budget: Decimal,
        hours: Decimal,
        rulebook: Path | None,
        **_options: object,
    ) -> None:
        """Exit 0 with the plan; exit 2 with every problem of all records."""
        try:
            texts = [read_text(path) for path in records]
            told = engine.plan(texts, money=budget, hours=hours, rulebook=rulebook_in(rulebook))
        except RecordError as error:
            self.stop_at(error, records)
        except BadInput as error:
            self.stop(str(error))
        self.stdout.write(told)
