"""Names in the rulebook that must lead somewhere: works, steps, measurands, instruments, words."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING

from inspect_app.engine.quantities import UNITS
from inspect_app.engine.rulebook_types import Checkpoint, Step, Work
from inspect_app.engine.works import needed_by

if TYPE_CHECKING:
    from inspect_app.engine.rules import Rulebook

_APPLIES = (
    "always", "machine", "optional", "springs", "across", "two_springs", "reservoir", "electronic",
)  # fmt: skip


def name_faults(rules: Rulebook) -> list[str]:
    """Every name that leads nowhere, a line each; empty where all is well."""
    return [
        *(
            line
            for one in rules.checkpoints.values()
            for spoken in (one, *one.variants.values())
            for line in _of_checkpoint(rules, spoken)
        ),
        *_of_prices(rules),
        *_of_machines(rules),
        *_of_handover(rules),
        *(
            line
            for name, row in rules.limits.items()
            for line in _unknown(f"limits.{name}.settle_with", [row.settle_with], rules.instruments)
        ),
        *_unknown("rulebook.service_renews", rules.service_renews, rules.checkpoints),
        *_unknown("walk.short_walk", rules.short_walk, rules.checkpoints),
    ]


def _unknown(where: str, names: Collection[str | None], known: Collection[str]) -> Iterator[str]:
    for name in names:
        if name is not None and name not in known:
            yield f"{where}: there is no {name!r}; known: {', '.join(known)}"


def _of_checkpoint(rules: Rulebook, one: Checkpoint) -> Iterator[str]:
    place, works = f"checkpoints.{one.id}", rules.prices.works
    yield from _unknown(f"{place}.stop", [one.stop], rules.stop_order)
    yield from _unknown(f"{place}.applies", [one.applies], (*_APPLIES, *rules.dampers))
    yield from _unknown(f"{place}.measurand", [one.measurand], rules.limits)
    yield from _unknown(f"{place}.work", [one.work], works)
    yield from _unknown(f"{place}.word.work", [word.work for word in one.words], works)
    if one.growth is not None:
        yield from _unknown(f"{place}.growth.grows_into", one.growth.grows_into, works)
    for name, case in one.cases.items():
        for key in ("work", "grows_into"):
            yield from _unknown(f"{place}.case.{name}.{key}", [case.get(key)], works)
    for name, sources in one.explained.items():
        yield from _unknown(f"{place}.explained.{name}", sources, rules.checkpoints)
    for reading in one.readings:
        where = f"{place}.reading.{reading.key}"
        yield from _unknown(f"{where}.instruments", reading.instruments, rules.instruments)
        if not reading.instruments:
            yield f"{where}.instruments: one at least is needed"
        fitting = [unit for unit in UNITS if UNITS[unit][0] == reading.dimension]
        yield from _unknown(f"{where}.units", (*reading.units, reading.us_unit), fitting)
    for word in one.words:
        if word.category_with is not None:
            yield from _unknown(f"{place}.word.work_with", [word.category_with.work], works)
        if word.low is not None and one.measurand is None:
            yield f"{place}.word.{word.word}: a range, but the step has no measurand"


def _of_prices(rules: Rulebook) -> Iterator[str]:
    book = rules.prices
    lines: dict[str, Work | Step] = {**book.works, **book.steps}
    for line in lines.values():
        where = "work" if line.id in book.works else "step"
        yield from _unknown(f"prices.{where}.{line.id}.name_for", line.name_for, rules.dampers)
    for work in book.works.values():
        yield from _unknown(f"prices.work.{work.id}.needs", work.needs, lines)
        yield from _unknown(f"prices.work.{work.id}.absorbs", work.absorbs, lines)
    try:
        needed_by(book.steps, book.works)
    except ValueError as error:
        yield f"prices.work: {error}"
    yield from _unknown("prices.cap.works", book.cap_works, book.works)
    yield from _unknown("prices.cap.beside", sorted(book.beside_cap), book.works)
    yield from _unknown("prices.book.pair_works", book.pair_works, book.works)


def _of_machines(rules: Rulebook) -> Iterator[str]:
    for kind in rules.kinds.values():
        where = f"machines.kind.{kind.id}"
        usual = (kind.usual_damper, *kind.usual_damper_at.values())
        yield from _unknown(f"{where}.usual_damper", usual, rules.dampers)
        if not kind.places:
            yield f"{where}.places: one at least is needed"
    for damper in rules.dampers.values():
        yield from _unknown(
            f"machines.damper.{damper.id}.on_kinds", damper.on_kinds or (), rules.kinds
        )


def _of_handover(rules: Rulebook) -> Iterator[str]:
    for name, words in rules.damage_words.items():
        where = f"handover.damage.words.{name}"
        yield from _unknown("handover.damage.words", [name], rules.checkpoints)
        if name in rules.checkpoints:
            known = [word.word for word in rules.checkpoints[name].words]
            yield from _unknown(where, words, known)
    marks = {
        kind for one in rules.checkpoints.values() for kind in one.mark_texts.get("mark_text", ())
    }
    yield from _unknown("handover.damage.marks", rules.damage_marks, sorted(marks))
