"""The warnings of an assessment: what to bear in mind when reading it."""

from __future__ import annotations

from typing import Any

from inspect_app.engine.found import Found
from inspect_app.engine.identification import CheckOutcome, check_digit
from inspect_app.engine.items import place_name, springs_meant
from inspect_app.engine.nominal_rate import rate_warnings
from inspect_app.engine.record_types import Assembly, Record
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.scene import Scene

Doc = dict[str, Any]


def warning_rows(
    scene: Scene,
    findings: list[Found],
    about_machine: list[tuple[str, str]],
) -> list[Doc]:
    """The machine's warnings first, then each finding's, then what the record left open."""
    record, rules = scene.record, scene.rules
    out = [{"code": code, "text": text, "about": None} for code, text in about_machine]
    for found in findings:
        out += [{"code": code, "text": text, "about": found.id} for code, text in found.warnings]
        instrument = found.observation.instrument
        if instrument and instrument not in rules.instruments:
            text = f"{instrument!r} is no instrument of the rulebook: its usual doubt was taken."
            out.append({"code": "unknown_instrument", "text": text, "about": found.id})
    out += _of_which_spring(record, rules)
    guessed = [a for a in record.assemblies if not a.damper_given]
    for kind, some in _by_damper(guessed):
        name = rules.dampers[kind].name.lower()
        where = "" if len(some) == len(record.assemblies) else _places(some)
        text = f"The kind of damper was not given{where}: taken as {name}."
        out.append({"code": "damper_kind_taken", "text": text, "about": None})
    for kind, some in _by_damper([a for a in record.assemblies if not a.springs]):
        if not_covered := rules.dampers[kind].not_covered:
            text = f"{', '.join(place_name(a.at) for a in some).capitalize()}: {not_covered}"
            out.append({"code": "not_covered", "text": text, "about": None})
    out += [{"code": code, "text": text, "about": None} for code, text in rate_warnings(scene)]
    plate = record.machine.identification_number
    if plate is not None and (checked := check_digit(plate)).outcome is CheckOutcome.DIFFERS:
        text = f"Identification number: {checked.because}"
        out.append({"code": "identification_number", "text": text, "about": None})
    out += _more_than_it_ran(record)
    asking = record.machine.asking_price
    if asking is not None and asking[1] != rules.prices.currency:
        text = (
            f"The asking price is in {asking[1]}, the price book in {rules.prices.currency}: "
            "they were not compared."
        )
        out.append({"code": "other_currency", "text": text, "about": None})
    if record.inspector_role in ("seller", "buyer"):
        text = f"The inspector is the {record.inspector_role}: an interest to bear in mind."
        out.append({"code": "interest", "text": text, "about": None})
    return out


def _more_than_it_ran(record: Record) -> list[Doc]:
    """A service longer ago than the whole distance: what somebody says is wrong."""
    ran, since = record.machine.distance, record.machine.use.since_service
    if ran is None or since is None or since.distance is None:
        return []
    if since.distance.value <= ran.value:
        return []
    text = (
        f"The last service is said to be {since.distance.entered} ago, but the machine to have "
        f"run {ran.entered}: one of the two is wrong, or the clock was changed."
    )
    return [{"code": "service_before_new", "text": text, "about": None}]


def _of_which_spring(record: Record, rules: Rulebook) -> list[Doc]:
    """Answers that do not say which of several springs they were of."""
    out: list[Doc] = []
    for answer in record.observations:
        count = springs_meant(answer, record, rules)
        if not count:
            continue
        name = rules.checkpoints[answer.checkpoint].name.lower()
        checked = answer.status == "checked"
        text = (
            f"{place_name(answer.at).capitalize()}, {name}: it was not said which of the {count} "
            f"springs was meant. {'What was seen counts, but e' if checked else 'E'}ach spring "
            "stays open until that is said."
        )
        out.append({"code": "which_spring", "text": text, "about": answer.id if checked else None})
    return out


def _by_damper(assemblies: list[Assembly]) -> list[tuple[str, list[Assembly]]]:
    kinds = dict.fromkeys(one.damper for one in assemblies)
    return [(kind, [one for one in assemblies if one.damper == kind]) for kind in kinds]


def _places(assemblies: list[Assembly]) -> str:
    return f" ({', '.join(place_name(one.at) for one in assemblies)})"
