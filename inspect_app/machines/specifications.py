"""What is known of a machine's dampers and springs, and what one sender says of them put over it.

Field by field: what is not sent stays, what is sent stands, null takes it back.  The phone merges
the same way (frontend/src/lib/record/merge.ts); both are tested with one file of cases.
"""

from collections.abc import Iterable
from typing import Any

Table = dict[str, Any]

# What belongs to the place and outlives its damper; all else of an assembly is the damper's.
OF_THE_PLACE = {"at", "axle", "side", "motion_ratio", "ride_height", "tyre"}
# What is of all springs of a damper together: with another number of springs it is of no use.
OF_THE_STACK = {
    "springs",
    "static_compression",
    "installed_length",
    "preload",
    "preload_pitch",
    "preload_range",
    "crossover_gap",
}
# A quantity is one thing: the doubt of an old reading says nothing of a new one.
_QUANTITY = {"value", "values", "low", "amount"}


def put_over(known: Iterable[Table], coming: Iterable[Table]) -> list[Table]:
    """Assemblies as known, with what comes put over them; told apart by their place.

    An assembly sent as {"at": …, "gone": true} goes.  Where another kind of damper is told, what
    was known of the old one goes unless it is told along with it; with another number of springs
    so does what was known of the springs.
    """
    places = {str(one.get("at")): one for one in known}
    for one in coming:
        at = str(one.get("at"))
        if one.get("gone") is True:
            places.pop(at, None)
        else:
            kept = _that_still_applies(places.get(at, {}), one)
            told = {field: value for field, value in one.items() if field != "gone"}
            places[at] = _table_over(kept, told)
    return list(places.values())


def _that_still_applies(known: Table, coming: Table) -> Table:
    damper, told = known.get("damper"), coming.get("damper")
    if damper and told and damper != told:
        return {field: value for field, value in known.items() if field in OF_THE_PLACE}
    springs, listed = known.get("springs"), coming.get("springs")
    if isinstance(springs, list) and isinstance(listed, list) and len(springs) != len(listed):
        return {field: value for field, value in known.items() if field not in OF_THE_STACK}
    return known


def _table_over(known: Table, coming: Table) -> Table:
    out = dict(known)
    for field, value in coming.items():
        told = _over(out.get(field), value)
        if told is None:
            out.pop(field, None)
        else:
            out[field] = told
    return out


def _over(known: object, coming: object) -> object:
    """One field; None where nothing is left of it."""
    if isinstance(coming, list):
        before = known if isinstance(known, list) and len(known) == len(coming) else []
        return [
            _table_over(_as_table(before[i] if before else None), one) if _is_table(one) else one
            for i, one in enumerate(coming)
        ]
    if _is_table(coming):
        return _table_over(_as_table(known), _as_table(coming)) or None
    return coming


def _is_table(value: object) -> bool:
    return isinstance(value, dict) and not _QUANTITY & value.keys()


def _as_table(value: object) -> Table:
    return value if isinstance(value, dict) and _is_table(value) else {}
