"""Bills added by hand from the sample price book (labour 95.00 an hour; prices.toml)."""

import json
import math
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from inspect_app.engine import api
from inspect_app.engine.items import items_of
from inspect_app.engine.record import read_record
from inspect_app.engine.rulebook_types import Step, Work
from inspect_app.engine.rules import load_rulebook, own_rulebook
from inspect_app.engine.works import Job, cap_jobs, cheapest, price
from tests.engine.records import assessed, found, record, seen

BOOK = own_rulebook().prices
RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records"
AT = "front_left"
# hours × 95 + parts
OUT = Decimal("57.00")  # 0.6 h
STRIP = Decimal("76.00")  # 0.8 h
SERVICE = Decimal("174.00")  # 1.2 h + 60
SHAFT = Decimal("287.50")  # 0.5 h + 240
BEARING = Decimal("66.50")  # 0.3 h + 38
EYELET = Decimal("256.50")  # 0.7 h + 190
SPRING = Decimal("188.00")  # 0.4 h + 150
DAMPER = Decimal("988.50")  # 0.3 h + 960
MOUNT = Decimal("377.50")  # 2.5 h + 140
CAP = DAMPER + OUT + SPRING + MOUNT  # 1611.00
GUARD = Decimal("45.00")  # 0.2 h + 26
HARNESS = Decimal("205.50")  # 0.9 h + 120


def bill(*works: tuple[str, str | None] | str) -> Decimal:
    jobs = [
        Job(one, AT) if isinstance(one, str) else Job(one[0], AT, one[1]) for one in works
    ]  # fmt: skip
    return price(BOOK, cheapest(BOOK, jobs, springs=1))


@pytest.mark.parametrize(
    ("works", "total"),
    [
        ([("bearing", "lower")], BEARING + OUT),
        ([("bearing", "lower"), ("bearing", "upper")], 2 * BEARING + OUT),
        ([("bearing", "lower"), ("eyelet", "lower")], EYELET + OUT),
        ([("bearing", "upper"), ("eyelet", "lower")], BEARING + EYELET + OUT),
        (["service"], SERVICE + OUT + STRIP),
        (["shaft"], SHAFT + SERVICE + OUT + STRIP),
        (["shaft", "service", "spring"], SHAFT + SERVICE + OUT + STRIP + SPRING),
        (["damper", "shaft", "service"], DAMPER + OUT),
        (["shaft", "body", "mount"], min(SHAFT + Decimal("467.50") + SERVICE + OUT + STRIP,
                                         DAMPER + OUT) + MOUNT),
    ],
)  # fmt: skip
def test_shared_labour_is_paid_once_and_a_new_damper_absorbs_its_works(
    works: list[Any], total: Decimal
) -> None:
    assert bill(*works) == total


def test_no_corner_is_dearer_than_damper_spring_and_mounts() -> None:
    assert price(BOOK, cap_jobs(BOOK, AT, 1)) == CAP
    everything = [
        Job(name, AT, part)
        for name, work in BOOK.works.items()
        for part in (("upper", "lower") if work.per_part and name != "spring" else (None,))
    ]
    brought = [job for job in everything if job.work not in ("guard", "harness")]
    assert price(BOOK, cheapest(BOOK, brought, springs=1)) == CAP
    # none of the three brings a guard or mends the wiring: those stand beside them
    assert price(BOOK, cheapest(BOOK, everything, springs=1)) == CAP + GUARD + HARNESS


@pytest.mark.parametrize("path", sorted(RECORDS.glob("*.json")), ids=lambda path: path.stem)
def test_a_work_that_stands_in_a_finding_stands_in_the_bill(path: Path) -> None:
    # itself, or within a work of the same corner that makes it needless by the price book
    document = json.loads(api.assess(path.read_text("utf-8")))
    billed: dict[str | None, set[str]] = {}
    for line in document["money"]["works"]:
        billed.setdefault(line["at"], set()).add(line["id"].partition("@")[0])
    anywhere = set().union(*billed.values())
    for finding in document["findings"]:
        here = billed.get(finding["at"], set()) if finding["at"] else anywhere
        for job in finding["money"]["works"]:
            work = job.partition("@")[0]
            within = {one for one in here & set(BOOK.works) if work in BOOK.works[one].absorbs}
            assert work in here or within, (finding["id"], job)


def test_the_estimate_tells_what_its_cap_does_not_bring() -> None:
    told = assessed(seen("mounting", "loose"))["money"]["scenarios"][0]["assumptions"]
    assert (
        "Shared work is paid once; no corner costs more than these together: new damper, mount "
        "repaired, new springs. What they do not bring comes on top: new shaft guard and wiring or "
        "control repaired." in told
    )


def test_what_stands_beside_the_cap_has_room_to_hide_there() -> None:
    # everything new (1611.00) and so far run that its wiring is worn for certain
    worst = [
        seen("bounce", "stuck"), seen("mounting", "cracked"), seen("spring_condition", "broken"),
    ]  # fmt: skip
    machine = {"kind": "sport_side_by_side", "distance": "999000 mi", "use": {"style": "race"}}
    corner = {"at": AT, "damper": "coilover", "electronic": True}
    money = assessed(*worst, machine=machine, assemblies=[corner])["money"]
    assert money["restore_now"] == str(CAP)
    assert money["allowance_unchecked"] == str(HARNESS)


def test_orders_of_size_are_those_of_the_trade() -> None:
    works = {name: work.parts for name, work in BOOK.works.items()}
    assert works["bearing"] * 3 < works["eyelet"]
    assert works["slider"] < works["body"]
    assert bill("service") < bill("shaft")
    assert 4 * bill("body") > 1000


def test_lines_add_up_to_restore_now_and_only_c_and_d_are_restored() -> None:
    # D mount bolt loose 0.3 h + 15 = 43.50; C bump stop 0.2 h + 28 = 47 with 57; B film nothing
    money = assessed(
        seen("mounting", "loose"), seen("bump_stop", "torn"), seen("shaft_seal", "oil_film")
    )["money"]
    assert Decimal(money["restore_now"]) == Decimal("43.50") + 47 + OUT
    assert sum(Decimal(line["total"]) for line in money["works"]) == Decimal(money["restore_now"])


def test_two_findings_of_one_corner_share_the_damper_out() -> None:
    both = [
        seen("bearing_play", "knocks", part=part) for part in ("lower", "upper")
    ]  # fmt: skip
    document = assessed(*both)
    assert Decimal(document["money"]["restore_now"]) == 2 * BEARING + OUT
    for finding in document["findings"]:
        assert Decimal(finding["money"]["cost_now"]) == BEARING + OUT


def weibull(used: float, miles: float, *, beta: float, eta: float) -> float:
    """P of growing within some miles: 1 − exp(a^β − (a + s/η)^β), a the share of life used."""
    return 1 - math.exp(used**beta - (used + miles / eta) ** beta)


def test_cost_if_left_is_the_chance_weighted_sum() -> None:
    # knocks: by word D → life 1.0; β 2, η 10,000 mi (mixed); grows into the eyelet:
    # restore 123.50; eyelet absorbs its bearing: 313.50
    money = found(seen("bearing_play", "knocks", part="lower"))["money"]
    for row, miles in zip(money["chance_of_growth"], (500, 1000, 2000), strict=True):
        assert row["distance"] == f"{miles} mi"
        assert row["chance"] == pytest.approx(weibull(1, miles, beta=2, eta=10_000), abs=1e-9)
    chance = weibull(1, 1000, beta=2, eta=10_000)
    left = Decimal(money["cost_if_left"][1]["cost"])
    assert float(left) == pytest.approx((1 - chance) * 123.5 + chance * 313.5, abs=0.006)
    assert Decimal(money["cost_avoided"][1]["cost"]) == left - Decimal(money["cost_now"])


def test_wear_by_reading_gives_the_share_of_life() -> None:
    # 0.10 mm of 0.25: 0.4; hard use: η 0.6 × 10,000
    play = seen("bearing_play", part="lower", readings={"play": {"value": 0.1, "unit": "mm",
                "u": 0.001}})  # fmt: skip
    document = assessed(play, use={"style": "hard"})
    chance = weibull(0.4, 1000, beta=2, eta=6000)
    assert document["findings"][0]["money"]["chance_of_growth"][1]["chance"] == pytest.approx(
        chance, abs=1e-9
    )
    # zone B: the machine's expected growth is P · eyelet with the damper out
    assert float(document["money"]["expected_growth"]) == pytest.approx(
        chance * float(EYELET + OUT), abs=0.006
    )


def test_a_new_coil_hardly_grows() -> None:
    # the plain ratio reading ÷ limit once gave 29 %; as new is 1.00, so a = 0
    none = seen("coil_contact", readings={"flat_width": {"value": 0, "unit": "mm", "u": 0.01}})
    document = assessed(none, spec={"springs": [{"wire": "12 mm"}]})
    assert document["findings"][0]["zone"] == "A"
    assert document["money"]["expected_growth"] == "0.00"


def test_allowance_is_the_chance_of_wear_times_the_work() -> None:
    # nobody looked at the lower bearing; 3,000 mi hard: 1 − exp(−(3000/6000)²) = 0.2212
    document = _with_distance("3000 mi")
    row = next(one for one in document["unchecked"] if one["id"] == "bearing_play@front_left/lower")
    assert float(row["allowance"]) == pytest.approx(0.2211992169 * 123.5, abs=0.006)
    # a service renews the seal: 1 − exp(−(100/(0.6 · 12,500))²)
    seal = next(one for one in document["unchecked"] if one["id"] == "shaft_seal@front_left")
    assert float(seal["allowance"]) == pytest.approx(
        (1 - math.exp(-((100 / 7500) ** 2))) * float(SERVICE + OUT + STRIP), abs=0.006
    )


def _with_distance(distance: str) -> dict[str, Any]:
    machine = {
        "kind": "sport_side_by_side", "distance": distance,
        "use": {"style": "hard", "since_service": {"distance": "100 mi"}},
    }  # fmt: skip
    return assessed(machine=machine)


def test_what_to_look_at_next_is_ordered_by_chance_then_worth() -> None:
    rows = _with_distance("3000 mi")["unchecked"]
    keys = [
        (-round(row["chance_changes_verdict"] / row["minutes"], 12),
         -Decimal(row["allowance"]) / Decimal(str(row["minutes"])))
        for row in rows
    ]  # fmt: skip
    assert keys == sorted(keys)


def test_rust_may_raise_the_hours() -> None:
    # new spring certain (245.00, labour 95.00); half as much labour again at most: 47.50
    money = assessed(seen("spring_condition", "pitted"))["money"]
    spread = money["price_adjustment"]
    assert Decimal(money["restore_now"]) == SPRING + OUT
    assert Decimal(spread["p10"]) >= SPRING + OUT
    assert Decimal(spread["p90"]) > Decimal(spread["p10"])


def test_a_shop_that_renews_in_pairs_does_both_sides_of_the_axle(tmp_path: Path) -> None:
    # one pitted spring: 188 + 57 on each side
    (tmp_path / "prices.toml").write_text('[book]\npairs = true\nreason = "our way"\n', "utf-8")
    text = json.dumps(record(seen("spring_condition", "pitted")))
    made = json.loads(api.assess(text, rulebook=load_rulebook(tmp_path)))
    assert Decimal(made["money"]["restore_now"]) == 2 * (SPRING + OUT)
    assert {one["at"] for one in made["money"]["works"]} == {"front_left", "front_right"}


def test_a_forks_bill_speaks_of_a_fork() -> None:
    worn = [
        seen("shaft_seal", "dripping", at="front"), seen("shaft_surface", "bent", at="front"),
        seen("mounting", "loose", at="front"), seen("guard", "missing", at="front"),
    ]  # fmt: skip
    document = assessed(*worn, assemblies=[{"at": "front", "damper": "telescopic_fork"}])
    names = [line["name"] for line in document["money"]["works"]]
    assert names == [
        "Fork out and in", "New fork guard", "Clamp and axle bolts renewed and tightened",
        "Fork service, both legs: oil and seals", "New fork tube", "Fork legs opened and closed",
    ]  # fmt: skip
    grown = {one["checkpoint"]: one["money"]["grows_into"] for one in document["findings"]}
    assert grown["shaft_seal"] == "New fork tube"
    assert grown["shaft_surface"] == "New fork"


def test_every_work_a_fork_may_need_is_named_for_it_or_fits_both() -> None:
    rules = own_rulebook()
    stops = ["on_wheels", "corner", "lifted", "moving", "shop", "stripped"]
    fork = record(assemblies=[{"at": "front", "damper": "telescopic_fork"}], stops=stops)
    needed: set[str] = set()
    for item in items_of(read_record(json.dumps(fork), rules), rules):
        one = item.checkpoint
        told = {one.work, *(word.work for word in one.words)}
        told |= {case.get("work") for case in one.cases.values()}
        told |= set(one.growth.grows_into if one.growth else ())
        needed |= {line for work in told if work for line in (work, *BOOK.needed[work])}
    fits_both = {"adjuster", "piston_band", "shims", "mark_dressed"}
    lines: dict[str, Work | Step] = {**BOOK.works, **BOOK.steps}
    assert {one for one in needed if "telescopic_fork" not in lines[one].name_for} == fits_both
