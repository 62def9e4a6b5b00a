"""Every number has its source, every name leads somewhere, and a shop's overrides are named."""

import json
import re
import tomllib
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspect_app.engine import api
from inspect_app.engine.errors import RulebookError
from inspect_app.engine.quantities import UNITS
from inspect_app.engine.rules import load_rulebook, own_rulebook
from tests.engine.records import record, seen

FOLDER = Path(api.__file__).parent / "rulebook"
DRAWINGS = Path(api.__file__).parents[1] / "drawings"
FILES = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in FOLDER.glob("*.toml")}
RULES = own_rulebook()


def unsourced(table: dict[str, Any], where: str, covered: bool) -> list[str]:
    """Tables that hold a number of their own, and no source there or above."""
    covered = covered or "source" in table
    out: list[str] = []
    for key, value in table.items():
        if isinstance(value, dict):
            out += unsourced(value, f"{where}.{key}", covered)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for index, item in enumerate(value):
                out += unsourced(item, f"{where}.{key}[{index}]", covered)
        elif isinstance(value, (int, float)) and not isinstance(value, bool) and not covered:
            out.append(f"{where}.{key}")
    return out


@pytest.mark.parametrize("name", sorted(FILES))
def test_every_number_has_a_source(name: str) -> None:
    assert unsourced(FILES[name], name, covered=False) == []


@pytest.mark.parametrize("name", [name for name in FILES if name.startswith("checkpoints")])
def test_every_word_has_its_own_source(name: str) -> None:
    for checkpoint, table in FILES[name].items():
        for word in table.get("word", ()):
            assert word.get("source", "").strip(), f"{checkpoint}.{word['word']}"


def test_every_drawing_named_is_drawn() -> None:
    drawn = {path.stem for path in DRAWINGS.rglob("*.svg")}
    made = json.loads(api.guide(json.dumps(record())))
    named = {caution["drawing"] for caution in made["cautions"]}
    named |= {one["drawing"] for one in made["machine_kinds"] + made["damper_kinds"]}
    for checkpoint in made["checkpoints"].values():
        named.add(checkpoint["drawing"])
        named |= {word["drawing"] for word in checkpoint["words"]}
        named |= {one["drawing"] for one in (checkpoint["sound"], checkpoint["worn"]) if one}
        if checkpoint["marks"]:
            named |= {one["drawing"] for one in checkpoint["marks"]["kinds"]}
    assert named - {None} - drawn == set()


def test_a_motorcycles_height_and_bounce_show_a_motorcycle() -> None:
    ends = [
        {"at": "front", "damper": "telescopic_fork"},
        {"at": "rear", "damper": "coilover"},
    ]
    made = json.loads(
        api.guide(json.dumps(record(assemblies=ends, machine={"kind": "motorcycle"})))
    )
    shown = {step["id"]: step["drawing"] for step in made["steps"]}
    assert {shown[f"ride_height@{at}"] for at in ("front", "rear")} == {"ride_height.how_bike"}
    assert (shown["bounce@front"], shown["bounce@rear"]) == ("bounce.how_fork", "bounce.how_bike")
    assert shown["shaft_seal@front"] is None  # words of a fork's own, and a damper's picture
    assert set(shown.values()) - {None} - {path.stem for path in DRAWINGS.rglob("*.svg")} == set()


def test_every_work_named_has_a_price() -> None:
    works, steps = set(RULES.prices.works), set(RULES.prices.steps)
    for checkpoint in RULES.checkpoints.values():
        assert checkpoint.work is None or checkpoint.work in works
        assert {word.work for word in checkpoint.words} - {None} <= works
        if checkpoint.growth is not None:
            assert set(checkpoint.growth.grows_into) <= works
    for work in RULES.prices.works.values():
        assert set(work.needs) <= works | steps
        assert set(work.absorbs) <= works | steps


def test_every_measurand_instrument_and_checkpoint_named_is_there() -> None:
    for checkpoint in RULES.checkpoints.values():
        assert checkpoint.measurand is None or checkpoint.measurand in RULES.limits
        for reading in checkpoint.readings:
            assert set(reading.instruments) <= set(RULES.instruments)
        for sources in checkpoint.explained.values():
            assert set(sources) <= set(RULES.checkpoints)
    for row in RULES.limits.values():
        assert row.settle_with in RULES.instruments
    assert set(RULES.short_walk) <= set(RULES.checkpoints)
    assert set(RULES.service_renews) <= set(RULES.checkpoints)
    assert next(iter(RULES.reasons)) == "no_safe_way_to_lift"


# domain.md, "Starting limits", by hand.
LIMITS = {
    "play_mm": (0.05, 0.15, 0.25), "depth_mm": (0.0025, 0.016, 0.030),
    "runout_mm_per_m": (0.1, 0.5, 1.0), "height_loss_mm": (10, 25, 51),
    "left_right_difference_mm": (6, 13, None), "set_percent": (2, 4, 7),
    "stress_ratio": (1.10, 1.20, 1.40), "rate_lost_percent": (2, 5, 10),
    "wall_lost_percent": (5, 15, 30), "pressure_ratio": (0.95, 0.85, 0.60),
    "damping_ratio": (0.25, 0.18, 0.10), "left_right_difference_percent": (15, 30, None),
}  # fmt: skip


@pytest.mark.parametrize(("name", "bounds"), LIMITS.items())
def test_the_limits_are_those_agreed(name: str, bounds: tuple[float | None, ...]) -> None:
    limits = RULES.limits[name].limits
    assert (limits.a, limits.b, limits.c) == bounds


def test_a_shops_override_is_used_and_named_with_its_reason(tmp_path: Path) -> None:
    (tmp_path / "limits.toml").write_text('[play_mm]\nc = 0.20\nreason = "our bench"\n', "utf-8")
    (tmp_path / "prices.toml").write_text(
        '[book]\nlabour_per_hour = "100.00"\ninvented = false\nreason = "our own prices"\n', "utf-8"
    )
    rules = load_rulebook(tmp_path)
    play = seen("bearing_play", part="lower", readings={"play": {"value": 0.22, "unit": "mm",
                "u": 0.001}})  # fmt: skip
    made = json.loads(api.assess(json.dumps(record(play)), rulebook=rules))
    assert made["findings"][0]["zone"] == "D"
    assert made["findings"][0]["limits"]["source"].endswith("our bench")
    assert made["rulebook"]["overrides"] == [
        "limits.play_mm.c: 0.25 → 0.2 (our bench)",
        "prices.book.labour_per_hour: 95.00 → 100.00 (our own prices)",
        "prices.book.invented: True → False (our own prices)",
    ]
    # (0.3 + 0.6) h × 100 + 38
    assert made["money"]["restore_now"] == "128.00"
    assert made["money"]["invented"] is False
    assert own_rulebook().limits["play_mm"].limits.c == 0.25


def test_a_shop_may_count_heat_cycles(tmp_path: Path) -> None:
    text = '[hard]\nheat_cycles = 50.0\nreason = "our way"\n'
    (tmp_path / "service.toml").write_text(text, "utf-8")
    use = {"style": "hard", "since_service": {"distance": "100 mi", "heat_cycles": 60}}
    made = json.loads(api.assess(json.dumps(record(use=use)), rulebook=load_rulebook(tmp_path)))
    assert (made["service"]["due_fraction"], made["service"]["limiting"]) == (1.2, "heat_cycles")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("limits", "[play_mm]\nc = 0.20\n"),  # no reason
        ("limits", '[play_mm]\nd = 0.20\nreason = "x"\n'),
        ("limits", '[play_mm]\nc = 0.01\nreason = "x"\n'),  # out of order
        ("limits", '[play_mm]\nc = nan\nreason = "x"\n'),
        ("limits", '[play_mm]\nc = inf\nreason = "x"\n'),
        ("limits", '[play_mm]\nc = "0.3"\nreason = "x"\n'),
        ("limits", '[play_mm]\nc = true\nreason = "x"\n'),
        ("limits", "[play_mm\n"),
        ("prices", '[book]\nlabour_per_hour = "-5"\nreason = "x"\n'),
        ("prices", '[book]\nlabour_per_hour = "NaN"\nreason = "x"\n'),
        ("prices", '[book]\nlabour_per_hour = "many"\nreason = "x"\n'),
        ("service", '[hard]\ndistance = "1000"\nreason = "x"\n'),
        ("service", '[hard]\ndistance = "0 mi"\nreason = "x"\n'),
        ("service", '[hard]\nheat_cycles = nan\nreason = "x"\n'),
        ("service", '[hard]\nheat_cycles = "many"\nreason = "x"\n'),
        ("instruments", '[tape]\nu = 0\nreason = "x"\n'),
        ("checkpoints", '[bounce.growth]\neta_mi = 0\nreason = "x"\n'),
        ("checkpoints", '[ride_feel]\napplies = ""\nreason = "x"\n'),
        ("checkpoints", '[seals]\nword = []\nreason = "x"\n'),
        ("walk", '[short_walk]\nminutes = 9\nreason = "x"\n'),
    ],
)
def test_an_override_that_cannot_be_used_is_refused(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / f"{name}.toml").write_text(text, "utf-8")
    with pytest.raises(RulebookError):
        load_rulebook(tmp_path)


def test_every_fault_of_a_folder_is_told_at_once(tmp_path: Path) -> None:
    files = {
        "limits": '[play_mm]\nc = 0.01\nreason = "x"\n[depth_mm]\nd = 1\n'
        '[set_percent]\na = "two"\nsettle_with = "a look"\nreason = "x"\n'
        '[decision]\nguarded = 0.6\nreason = "x"\n',
        "prices": '[book]\nlabour_per_hour = "many"\nhorizon = "5 mi"\nreason = "x"\n'
        '[work.shaft]\nparts = "-1"\nneeds = ["polish"]\nreason = "x"\n',
        "handover": '[damage.words]\nguard = ["mising", "tron"]\nreason = "x"\n',
        "checkpoints": "[bounce]\nminutes = 3\n",
        "machines": '[kind.quad]\nusual_damper = "rubber"\nreason = "x"\n',
        "service": "[hard\n",
        "walk": "",
    }
    for name, text in files.items():
        (tmp_path / f"{name}.toml").write_text(text, "utf-8")
    with pytest.raises(RulebookError) as refused:
        load_rulebook(tmp_path)
    told = str(refused.value).splitlines()
    expected = [
        "limits.play_mm: the boundaries", "limits.depth_mm.d: the rulebook has no such value",
        "limits.set_percent.a: 'two' cannot stand", "limits.set_percent.settle_with: there is no",
        "limits.decision: guarded", "prices.book.labour_per_hour: 'many' is no amount",
        "prices.book.horizon: '5 mi'", "prices.work.shaft: '-1' is no amount",
        "handover.damage.words.guard: there is no 'mising'",
        "handover.damage.words.guard: there is no 'tron'",
        "checkpoints.bounce.minutes: changed without a reason",
        "machines.kind.quad.usual_damper: there is no 'rubber'", "service.toml: ",
        "walk.toml: name it",
    ]  # fmt: skip
    for one in expected:
        assert [line for line in told if line.startswith(one)], one
    # the shaft's price is refused, so nothing says what it needs; all else is told, and once
    assert len(told) == len(set(told))


def _leaves(table: dict[str, Any], path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    out: list[tuple[str, ...]] = []
    for key, value in table.items():
        here = (*path, key)
        out += _leaves(value, here) if isinstance(value, dict) else [here]
    return out


LEAVES = [
    ("checkpoints" if name.startswith("checkpoints") else name, *path)
    for name, table in FILES.items()
    if name.split("_")[0] in ("limits", "instruments", "service", "prices", "machines", "handover",
                              "checkpoints")
    for path in _leaves(table)
]  # fmt: skip
ODD = st.one_of(
    st.floats(1e-4, 1e4), st.integers(-2, 10**7), st.booleans(), st.text("ab1.", max_size=4),
    st.sampled_from(["D", "A", "1 mi", "mm", "0.00", "9999", "service", "damper", "front_left"]),
    st.lists(st.sampled_from(["service", "front_left", "damper", "x", "mm"]), max_size=2),
)  # fmt: skip


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(st.tuples(st.sampled_from(LEAVES), ODD), min_size=1, max_size=3))
def test_any_override_is_refused_or_used(changes: list[tuple[tuple[str, ...], Any]]) -> None:
    text = (Path("fixtures") / "records" / "everything_wrong.json").read_text("utf-8")
    with TemporaryDirectory() as folder:
        for (name, *tables, key), value in changes:
            head = f"[{'.'.join(tables)}]\n" if tables else ""
            line = f'{head}{key} = {json.dumps(value)}\nreason = "x"\n'
            (Path(folder) / f"{name}.toml").write_text(line, "utf-8")
        try:
            rules = load_rulebook(Path(folder))
        except RulebookError:
            return
        made = json.loads(api.assess(text, rulebook=rules))
    assert made["verdict"]["code"]


def test_a_folder_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(RulebookError, match="is not a folder"):
        load_rulebook(tmp_path / "none")


# domain.md, "Record" and "Further specifications", by hand: every figure of an assembly and spring.
FIGURES = {
    "length": "shaft.diameter shaft.bump_travel shaft.droop_travel shaft.plating "
    "body.outside_diameter body.wall body.bore bearing_bore ride_height static_compression "
    "installed_length preload preload_pitch preload_range crossover_gap "
    "wire mean_diameter free_length",
    "pressure": "tyre.pressure body.pressure gas.pressure air.pressure shear_modulus",
    "number": "motion_ratio active_turns",
    "temperature": "gas.temperature",
    "volume": "gas.volume",
    "rate": "tyre.rate rate",
}


def test_the_figures_are_those_of_the_contract_and_their_units_fit() -> None:
    fields = [field for group in RULES.specifications for field in group.fields]
    agreed = {name: kind for kind, names in FIGURES.items() for name in names.split()}
    assert {field.name: field.dimension for field in fields} == agreed
    for field in fields:
        assert {UNITS[unit][0] for unit in (*field.units, field.us_unit)} == {field.dimension}


def test_what_handover_calls_damage_is_a_word_of_its_checkpoint(tmp_path: Path) -> None:
    for name, words in RULES.damage_words.items():
        assert set(words) <= {word.word for word in RULES.checkpoints[name].words}
    (tmp_path / "handover.toml").write_text(
        '[damage.words]\nguard = ["missing"]\nreason = "ours tear by themselves"\n', "utf-8"
    )
    rules = load_rulebook(tmp_path)
    assert rules.damage_words["guard"] == ("missing",)
    assert rules.overrides == (
        "handover.damage.words.guard: ['torn', 'missing'] → ['missing'] (ours tear by themselves)",
    )
    (tmp_path / "handover.toml").write_text(
        '[damage.words]\nguard = ["mising"]\nreason = "x"\n', "utf-8"
    )
    with pytest.raises(RulebookError, match="mising"):
        load_rulebook(tmp_path)


def test_every_gap_an_assessment_names_has_its_words() -> None:
    words = own_rulebook().quantity_words
    engine = Path("inspect_app/engine")
    asked = {
        name
        for path in engine.glob("*.py")
        for name in re.findall(r'\.needs\(\s*"([a-z_]+)"', path.read_text(encoding="utf-8"))
    }
    assert asked, "no gap is named anywhere"
    assert asked <= set(words)
