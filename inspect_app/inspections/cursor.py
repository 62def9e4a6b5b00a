"""Where a phone stands in an organisation's log: a position, and which change stands there.

A position alone tells nothing of a server whose data were lost or put back from a copy: its log
may be shorter than what the phone has read, or have grown past it with other changes.  A change's
id is made once on a phone, so the same id at the same position means the same log up to there.
"""

import re
from dataclasses import dataclass
from uuid import UUID

_WRITTEN = re.compile(r"(\d{1,18})\.([0-9a-f]{32})")


class OtherLog(Exception):  # noqa: N818 - an answer to a phone, not a fault
    """The cursor speaks of a change that this log does not have."""


@dataclass(frozen=True, slots=True)
class Cursor:
    """position: 0 before the first change.  change: None where only the position is known."""

    position: int = 0
    change: UUID | None = None

    def __str__(self) -> str:
        return f"{self.position}.{self.change.hex}" if self.change else ""


def read_cursor(sent: object) -> Cursor | None:
    """The cursor as it came; None where it is none.

    A number is what phones were given before the change was told with it.
    """
    if sent is None or sent == "":
        return Cursor()
    if isinstance(sent, int) and not isinstance(sent, bool) and 0 <= sent < 2**62:
        return Cursor(sent)
    if isinstance(sent, str) and (parts := _WRITTEN.fullmatch(sent)):
        return Cursor(int(parts[1]), UUID(parts[2]))
    return None
