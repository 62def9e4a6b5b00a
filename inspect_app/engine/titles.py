"""What a finding is called, why it is what it is, and what to do about it: in plain words."""

from __future__ import annotations

import re
from functools import cache

from inspect_app.engine.decide import Decision
from inspect_app.engine.found import Found, Outcome
from inspect_app.engine.items import with_part
from inspect_app.engine.record_types import Quantity
from inspect_app.engine.risk import risk_of_zone
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.wording import limit_phrase, sentence, sureness, with_doubt

_PLAIN = {"A": "in order", "B": "some wear", "?": "not determined"}


def title_of(found: Found) -> str:
    """'Lower bearing loose', 'Ding in the shaft', 'Ride height: in order'."""
    checkpoint, word, deciding = found.item.checkpoint, found.word, found.deciding
    part = found.item.part
    if found.marks and found.zone not in ("A", "?") and not (word and word.outright):
        worst = max(found.marks, key=lambda mark: "?ABCD".index(mark.zone))
        return checkpoint.mark_texts["mark_name"][worst.kind]
    case = checkpoint.cases.get(found.case or "")
    if case is not None and found.zone in ("B", "C", "D"):
        return case["finding"]
    if checkpoint.any_of:
        words = [checkpoint.word_named(name) for name in found.observation.seen]
        return "; ".join(w.finding for w in words if w is not None)
    if word is not None and (deciding is None or deciding.by_word) and not word.needs_marks:
        return with_part(word.finding, part) + _spring(part)
    if found.zone in ("C", "D"):
        return with_part(checkpoint.finding_worn, part) + _spring(part)
    return f"{with_part(checkpoint.finding, part)}{_spring(part)}: {_PLAIN[found.zone]}"


def _spring(part: str | None) -> str:
    return f", {part.replace('_', ' ')}" if part and part.startswith("spring_") else ""


def sureness_of(found: Found) -> str:
    """'clear', 'likely', 'could_be_either', 'by_word' or 'not_determined'."""
    if found.zone == "?":
        return "not_determined"
    if found.deciding is None:
        return "by_word"
    return sureness(found.deciding.decision)


def because_of(found: Found, rules: Rulebook) -> str:
    """One or more plain sentences made from the numbers."""
    parts: list[str] = []
    deciding, word = found.deciding, found.word
    if deciding is not None and deciding.measured is not None and not deciding.by_word:
        row = rules.limits[deciding.measurand]
        shown = with_doubt(deciding.measured, deciding.limits.unit)
        where = "" if found.case == "over_charged" else _where_it_begins(found, deciding)
        if deciding.measured.value < 0:  # more is there than was ever specified
            shown = f"none ({shown})"
        parts.append(f"{row.name[:1].upper()}{row.name[1:]} {shown}{where}.")
        parts += _how_sure(deciding.decision, found.zone)
    elif word is not None and not found.item.checkpoint.any_of and not found.marks:
        parts.append(f"Seen: {word.text[:1].lower()}{word.text[1:]}.")
        parts += [told for told in (word.why, word.warn) if told]
    parts += found.sentences
    if found.danger:
        parts.append(found.danger)
    parts += _explained(found, rules)
    if found.zone == "?" and found.not_determined:
        parts.append(f"Not determined: needs {need_in_words(found.not_determined[0][1], rules)}.")
    return " ".join(sentence(part) if not part.endswith(".") else part for part in parts)


def _explained(found: Found, rules: Rulebook) -> list[str]:
    """One sentence; one for each thing felt where several were."""
    if len(found.explained_by) < 2:
        return [
            f"Explained by what was found: {_spoken(ids, rules)}."
            for ids in found.explained_by.values()
        ]
    return ["Explained by what was found."] + [
        f"{felt}: {_spoken(ids, rules)}." for felt, ids in found.explained_by.items()
    ]


def _where_it_begins(found: Found, deciding: Outcome) -> str:
    return f"; {limit_phrase(found.zone_by_reading or found.zone, deciding.limits)}"


def _how_sure(decision: Decision, zone: str) -> list[str]:
    shares = decision.share_of_zone
    likeliest, second = sorted(shares, key=lambda one: -shares[one])[:2]
    if likeliest != zone:
        return [f"Most likely {likeliest}; taken as {zone}, since being wrong could hurt someone."]
    told = sureness(decision)
    if told == "clear":
        return []
    if told == "likely":
        return [f"Most likely {zone}, could be {second}."]
    return (
        [f"As likely {second} as {zone}."]
        if shares[second] > 0.4
        else [f"Perhaps {zone}, perhaps {second}."]
    )


def _spoken(finding_ids: list[str], rules: Rulebook) -> str:
    """'bearing play (front left), gas pressure (3 places)': checkpoints, not every id."""
    places: dict[str, list[str]] = {}
    for one in finding_ids:
        name, _, place = one.partition("@")
        places.setdefault(name, []).append(place.split("/")[0].replace("_", " "))
    out: list[str] = []
    for name, where in places.items():
        distinct = list(dict.fromkeys(where))
        shown = distinct[0] if len(distinct) == 1 else f"{len(distinct)} places"
        label = rules.checkpoints[name].name.lower()
        out.append(f"{label} ({shown})" if shown else label)
    return ", ".join(out)


def need_in_words(need: str, rules: Rulebook) -> str:
    """What would settle a gap, its fields named as people name them."""
    pattern = _any_of(tuple(rules.field_words))
    return pattern.sub(lambda match: rules.field_words[match.group()], need)


@cache
def _any_of(fields: tuple[str, ...]) -> re.Pattern[str]:
    longest_first = sorted(fields, key=len, reverse=True)
    return re.compile("|".join(rf"(?<![\w.]){re.escape(one)}(?![\w.\[])" for one in longest_first))


def action_of(found: Found) -> str:
    """What to do."""
    checkpoint, word = found.item.checkpoint, found.word
    said = word.action if word is not None and found.deciding is None else None
    case = checkpoint.cases.get(found.case or "")
    if case is not None and found.zone in ("C", "D"):
        return case["action"]
    if found.zone in ("C", "D"):
        said = found.beside.action if found.beside else said
        action = said or (checkpoint.action_d if found.zone == "D" else checkpoint.action_c)
        grave = risk_of_zone(found.zone, found.category or 4) == "high"
        if grave and not action.startswith("Park it"):
            return f"Park it. {action.replace('before hard use', 'before it is driven')}"
        return action
    if found.zone == "B" and checkpoint.stop == "stripped":
        return said or "Good for now; renew it while the damper is open, if the part is cheap."
    if found.zone == "B":
        return said or "Leave it; look again at the next service."
    if found.zone == "A":
        return "Nothing to do."
    if checkpoint.any_of:
        unexplained = bool(found.not_determined)
        return checkpoint.action_d if unexplained else "See the findings that explain it."
    return _to_settle(found)


def _to_settle(found: Found) -> str:
    """What to do about a finding that nothing decides yet: by what is missing."""
    need = found.not_determined[0][1] if found.not_determined else ""
    if need.startswith("readings."):
        return "Measure it."
    if need.startswith("marks[]"):
        return "Look at the mark again and note what is missing."
    if re.match(r"[a-z_.\[\]]+(,|$| or )", need):  # fields of the machine's own figures
        return "Find the figure, in the manual or on the part, and enter it."
    again = "look" if found.item.checkpoint.words else "measure"
    return f"See to what is needed, then {again} again."


def failure_mode_of(found: Found) -> str:
    """What fails, or will."""
    checkpoint = found.item.checkpoint
    case = checkpoint.cases.get(found.case or "")
    if case is not None:
        return case["failure_mode"]
    return found.failure_mode or checkpoint.failure_mode


def _size(q: Quantity, name: str) -> str:
    """'35 mm from the seal'; what lies on the other side of it is inside."""
    if name == "from the seal" and q.value < 0:
        return f"{_as_people_write(q).lstrip('-−')} inside the seal"
    return f"{_as_people_write(q)} {name}"


def _as_people_write(q: Quantity) -> str:
    """The reading as entered, its unit's sign for its name: '24 °C'; a plain count bare."""
    number, gap, unit = q.entered.rpartition(" ")
    sign = {"degC": "°C", "degF": "°F", "um": "µm", "in3": "in³"}.get(unit, unit)
    return f"{number}{gap}{sign}"


def as_seen(found: Found) -> str:
    """The inspector's own words and readings, as entered."""
    observation, checkpoint = found.observation, found.item.checkpoint
    parts = [
        word.text
        for name in observation.seen
        if (word := checkpoint.word_named(name)) is not None
        and not (word.needs_marks and observation.marks)
    ]
    names = {spec.key: spec.name for spec in checkpoint.readings}
    parts += [f"{names[key]} {_as_people_write(q)}" for key, q in observation.readings.items()]
    if observation.peaks is not None:
        parts.append(f"swings {observation.peaks.entered}")
    if observation.trace is not None:
        parts.append(f"a recording of {len(observation.trace.time_s)} samples")
    for mark in observation.marks:
        told = [checkpoint.mark_texts["mark_text"][mark.kind]]
        sizes = (("deep", mark.depth), ("from the seal", mark.from_seal), ("long", mark.length))
        told += [_size(q, name) for name, q in sizes if q is not None]
        told += ["raised"] if mark.raised else []
        parts.append(", ".join(told))
    told_whole = "; ".join(parts)
    return f"{told_whole[:1].upper()}{told_whole[1:]}"
