"""Lines of a CSV that spreadsheet programs read as it is meant.

UTF-8 with its mark, CRLF, decimals with a point, ISO dates, all texts quoted (RFC 4180).  A text
that a spreadsheet would run as a formula, or turn into a number or a date, has an apostrophe put
before it: "1E5" stays an identification number, "3-4" a label.
"""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

Cell = str | int | float | Decimal | date | bool | None
BYTE_ORDER_MARK = "\ufeff"
# The longest a cell may be in common spreadsheet programs, less the words that say it was cut.
MOST_CHARACTERS = 32_000
CUT = " … (cut here; the whole is in the record)"
_FORMULA = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r\n]")
_NUMBER_OR_DATE = re.compile(r"\s*[.,]?\d[\d\s.,:/\-]*(?:[eE]\s*[+-]?\d+)?%?\s*")


class _Line:
    """What csv.writer writes to: the last line, given back."""

    def write(self, text: str) -> str:
        """The line itself."""
        return text


def csv_lines(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Iterator[str]:
    """The mark and the heading, then a line a row, each as soon as its row is there."""
    writer = csv.writer(_Line(), quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    yield BYTE_ORDER_MARK + writer.writerow(columns)
    for row in rows:
        yield writer.writerow([_plain(cell) for cell in row])


def _plain(cell: Cell) -> str | int | float | Decimal:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, date):
        return cell.isoformat()
    return safe_text(cell) if isinstance(cell, str) else cell


def safe_text(text: str) -> str:
    """The text as a spreadsheet keeps it: never a formula, a number or a date."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "")
    if len(text) > MOST_CHARACTERS:
        text = text[:MOST_CHARACTERS] + CUT
    is_taken_otherwise = _FORMULA.match(text) or _NUMBER_OR_DATE.fullmatch(text)
    return f"'{text}" if is_taken_otherwise else text
