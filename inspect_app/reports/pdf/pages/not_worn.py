"""What was looked at and is not worn: found sound, or no zone could be given."""

from collections.abc import Mapping
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Column, Table, section
from inspect_app.reports.pdf.contents import ReportData, is_measured, sound, undetermined
from inspect_app.reports.pdf.pages.alike import figures_read, reasons
from inspect_app.reports.pdf.pages.reading import unit_of
from inspect_app.reports.pdf.palette import INK_2, NOTE
from inspect_app.reports.pdf.prose import Run


def undetermined_table(data: ReportData) -> list[Flowable]:
    """What was looked at and could not be given a zone, with what it would need."""
    corners = [a["place"] for a in data.assessment["assemblies"]]
    alike: dict[tuple[str, str, str], list[str]] = {}
    for finding in undetermined(data.assessment):
        # The reason tells the first need itself.
        needs = "; ".join(str(gap["in_words"]) for gap in finding["not_determined"][1:])
        said = [str(finding["because"])]
        if needs:
            said.append(words.first_up(needs) + ".")
        key = (str(finding["title"]), str(finding["as_seen"]), " ".join(said))
        alike.setdefault(key, []).append(words.place_of(finding))
    rows: list[list[str | list[Run]]] = [
        [_named(title, words.gathered(places, corners)), seen, why]
        for (title, seen, why), places in alike.items()
    ]
    if not rows:
        return []
    columns = [Column("Looked at", 0.2), Column("Seen", 0.2), Column("Why no zone", 0.6)]
    return [
        *section("Seen, but no zone could be given", "undetermined"),
        Table(columns, rows, size=9.0),
    ]


def _named(title: str, where: str) -> list[Run]:
    return [
        Run(title, bold=True, size=9.0),
        Run(f"\n{where}", size=NOTE, colour=INK_2),
    ]


def _sound_reading(finding: Mapping[str, Any]) -> str:
    """The reading and where its zone ends: 0.02 ± 0.02 mm; A ends at 0.05."""
    limits, zone = finding["limits"], finding["zone"]
    if not limits or not is_measured(finding):
        return ""
    read = f"{figures_read(finding)}{unit_of(limits)}"
    end = limits.get(zone)
    if end is None:
        return read
    over = float(finding["doubt"]["value"]) - float(end)
    if (over < 0) if limits["small_is_bad"] else (over > 0):
        # Past the limit and yet that zone: the reason has to stand beside it.
        return f"{read}. {' '.join(reasons(finding, without_reading=True))}"
    return f"{read}; {zone} ends at {words.number(float(end))}"


def _beyond_title(title: str, seen: str) -> str:
    """What was seen as it goes on from its title, which is not said twice: after "Mounts tight",
    "Tight, straight, no crack" is ", straight, no crack"; after "Oil dark", "Dark" is nothing."""
    parts = title.split(" ")
    for start in range(len(parts)):
        ending = " ".join(parts[start:])
        rest = seen[len(ending) :]
        if seen.lower().startswith(ending.lower()) and not rest[:1].isalnum():
            return rest
    return f": {words.first_down(seen)}"


def sound_table(data: ReportData) -> list[Flowable]:
    """Zones A and B: readings one by one, the rest by place in running words."""
    places = [a["place"] for a in data.assessment["assemblies"]]
    alike: dict[tuple[str, str, str, str], list[str]] = {}
    for finding in sound(data.assessment):
        key = (
            str(finding["title"]),
            str(finding["as_seen"]),
            _sound_reading(finding),
            str(finding["zone"]),
        )
        alike.setdefault(key, []).append(words.place_of(finding))
    read: list[list[str | list[Run]]] = []
    seen_at: dict[tuple[str, str], list[Run]] = {}
    for (title, seen, reading, zone), at in alike.items():
        where = words.gathered(at, places)
        if reading:
            read.append([[Run(title, bold=True, size=9.0)], where, seen, reading, zone])
        else:
            runs = seen_at.setdefault((where, zone), [])
            runs += [
                Run(("  ·  " if runs else "") + title, bold=True, size=9.0),
                Run(_beyond_title(title, seen), size=9.0),
            ]
    by_word: list[list[str | list[Run]]] = [
        [where, runs, zone] for (where, zone), runs in seen_at.items()
    ]
    if not read and not by_word:
        return []
    story: list[Flowable] = section("Found sound", "sound")
    if read:
        story.append(Table(_READ, read, size=9.0, space=5, pad=1.3))
    if by_word:
        story.append(Table(_BY_WORD, by_word, size=9.0, space=7, pad=1.3))
    return story


_READ: Final = (
    Column("With a reading", 0.23),
    Column("Where", 0.16),
    Column("Seen", 0.32),
    Column("Reading", 0.24),
    Column("Zone", 0.05),
)
_BY_WORD: Final = (Column("Where", 0.16), Column("By eye and hand", 0.79), Column("Zone", 0.05))
