"""A checkpoint's table becomes a typed checkpoint with its words, readings and growth."""

from __future__ import annotations

from inspect_app.engine import rulebook_types as t
from inspect_app.engine.rulebook_files import Table
from inspect_app.engine.rulebook_rows import length_mm, without_source

_DEFAULT_CATEGORY = 3
_STEEPEST = 20  # a Weibull shape beyond it is a wall, and its powers leave the floats


def checkpoint_row(name: str, v: Table) -> t.Checkpoint:
    """One thing to look at. Errors: ValueError, KeyError, TypeError for what cannot be one."""
    category = v.get("default_category", _DEFAULT_CATEGORY)
    words = tuple(_word(w, category) for w in v.get("word", ()))
    by_zone = {"C": category, "D": category}
    by_zone.update(v.get("category_of_zone", {}))
    worst = v.get("worst_category") or min([category, *(w.category for w in words)])
    for zone, one in {**by_zone, "worst_category": worst}.items():
        _require_category(zone, one)
    parts = v.get("parts")
    texts = ("mark_text", "mark_name", "feel_text", "direction_text")
    return t.Checkpoint(
        id=name,
        any_stop=v.get("any_stop", False),
        tools=tuple(v["tools"]),
        how=tuple(v["how"]),
        how_drawing=v.get("how_drawing", f"{name}.how"),
        parts=tuple(parts) if isinstance(parts, list) else parts,
        parts_optional=v.get("parts_optional", False),
        measurand=v.get("measurand"),
        work=v.get("work"),
        category_of_zone=by_zone,
        worst_category=worst,
        any_of=v.get("any_of", False),
        asks_surface=v.get("asks_surface", False),
        recording_how=tuple(v.get("recording_how", ())),
        never_not_fitted=v.get("never_not_fitted", False),
        may_be_absent=v.get("may_be_absent"),
        not_for=tuple(v.get("not_for", ())),
        variants={
            damper: checkpoint_row(name, _in_words_of(v, words, f"{name}.for.{damper}"))
            for damper, words in v.get("for", {}).items()
        },
        readings=tuple(_reading(r) for r in v.get("reading", ())),
        words=words,
        growth=_growth(v["growth"]) if "growth" in v else None,
        mark_texts={k: without_source(v[k]) for k in texts if k in v},
        cases={k: without_source(x) for k, x in v.get("case", {}).items()},
        explained={k: tuple(x) for k, x in without_source(v.get("explained", {})).items()},
        **{k: v[k] for k in (
            "name", "title", "stop", "minutes", "sound_caption", "worn_caption", "applies",
            "failure_mode", "finding", "finding_worn", "action_c", "action_d", "source",
        )},
    )  # fmt: skip


def _in_words_of(base: Table, other: Table, where: str) -> Table:
    """A step's table in a damper's or machine's own words: only what it says is laid over.

    Its words are named: [step.for.KIND.word.WORD]. Errors: ValueError for what the step has not.
    """
    out = {key: value for key, value in base.items() if key != "for"}
    for key, new in other.items():
        if key not in out:
            raise ValueError(f"{where}: the step has no {key!r}")
        if key == "word":
            unknown = set(new) - {one["word"] for one in out["word"]}
            if unknown:
                raise ValueError(f"{where}: the step has no word {min(unknown)!r}")
            out["word"] = [{**one, **new.get(one["word"], {})} for one in out["word"]]
        else:
            deeper = isinstance(new, dict)
            out[key] = _in_words_of(out[key], new, f"{where}.{key}") if deeper else new
    return out


def _word(v: Table, default_category: int) -> t.Word:
    plain = dict(v)
    extra = plain.pop("category_with", None)
    why, action, work = (plain.pop(f"{one}_with", "") for one in ("why", "action", "work"))
    plain.setdefault("category", default_category)
    _require_zone(v, plain["category"])
    combined = None
    if extra:
        _require_category(f"{v['word']} with {extra['checkpoint']}", extra["category"])
        combined = t.CategoryWith(
            category=extra["category"],
            checkpoint=extra["checkpoint"],
            words=tuple(extra["words"]),
            why=why,
            action=action,
            work=work,
        )
    return t.Word(category_with=combined, **plain)


def _reading(v: Table) -> t.ReadingSpec:
    usual = v.get("usual")
    return t.ReadingSpec(
        key=v["key"],
        name=v["name"],
        dimension=v["dimension"],
        units=tuple(v["units"]),
        us_unit=v["us_unit"],
        instruments=tuple(v["instruments"]),
        usual=(usual["low"], usual["high"], usual["unit"]) if usual else None,
        allowed=t.Allowed(v.get("allowed", "not_negative")),
        several=v.get("several", False),
        of_mark=v.get("of_mark", False),
    )


def _growth(v: Table) -> t.Growth:
    if v["beta"] > _STEEPEST:
        raise ValueError(f"growth.beta: {v['beta']!r} is above {_STEEPEST}")
    return t.Growth(
        beta=v["beta"],
        eta_mm=length_mm(f"{v['eta_mi']:.0f} mi"),
        as_new=v["as_new"],
        grows_into=tuple(v["grows_into"].split("+")),
        source=v["source"],
    )


def _require_category(what: str, category: object) -> None:
    if category not in (1, 2, 3, 4):
        raise ValueError(f"{what}: {category!r} is no severity category (1 to 4)")


def _require_zone(v: Table, category: object) -> None:
    """A word gives a zone, or a range of the measurand, or neither (it only asks for more)."""
    _require_category(v["word"], category)
    if v.get("zone") not in (None, "A", "B", "C", "D", "?"):
        raise ValueError(f"{v['word']}: {v['zone']!r} is no zone (A to D, ?)")
    low, high = v.get("low"), v.get("high")
    if (low is None) != (high is None) or (low is not None and high is not None and low >= high):
        raise ValueError(f"{v['word']}: low {low!r} and high {high!r} are no range")
