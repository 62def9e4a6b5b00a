"""Records changed at random places, for tests that nothing but the two good endings happens."""

import copy
import json
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "records"
GOOD = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in FIXTURES.glob("*.json")}

# What people, phones and broken programs write where a reading, a word or a table should be.
STRANGE = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**25), 10**25),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=20),
    st.sampled_from([
        "", " ", "NaN", "inf", "-1 mm", "0 mm", "1e400", "12,500", "1/0", "3/8 in", "1000000 mm",
        "1e-9 mm", "-400 degC", "0 psi", "unknown", "front_left", "marks", [], {}, [[]], [{}],
        {"value": 0, "unit": "mm"}, {"value": 1, "unit": "mm", "u": 0},
        {"value": 1, "unit": "mm", "u": 1000000}, {"value": 1, "unit": "psi", "u": 1000000},
        {"value": 20, "unit": "degC", "u": 100000}, {"low": 0, "high": 900, "unit": "mm"},
        {"low": 0, "high": 0.0000001, "unit": "mm"}, {"value": 1, "unit": "mm", "resolution": 9},
        {"values": [0, 0], "unit": "mm"}, {"values": [30, 20, 10], "unit": "mm", "u": 0},
        {"time_s": [0, 0, 0], "acceleration_m_s2": [1, 1, 1]},
        {"time_s": [], "acceleration_m_s2": []}, "999999999999 mm", "0.000000000000001 mm",
    ]),
)  # fmt: skip


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every path in a document; long lists of samples count as one place."""
    found = [path] if path else []
    entries: Any = ()
    if isinstance(value, dict):
        entries = value.items()
    elif isinstance(value, list) and len(value) < 200:
        entries = enumerate(value)
    for key, item in entries:
        found += places(item, (*path, key))
    return found


def changed(record: Any, path: tuple[Any, ...], value: Any) -> Any:
    """A copy with one place set to another value."""
    out = copy.deepcopy(record)
    here = out
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return out


PLACES = {name: places(record) for name, record in GOOD.items()}


@st.composite
def records(draw: st.DrawFn) -> Any:
    """A good record with one to three places changed."""
    name = draw(st.sampled_from(sorted(GOOD)))
    record = GOOD[name]
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from(PLACES[name]))
        try:
            record = changed(record, path, copy.deepcopy(draw(STRANGE)))
        except (KeyError, IndexError, TypeError):  # an earlier change took this place away
            continue
    return record
