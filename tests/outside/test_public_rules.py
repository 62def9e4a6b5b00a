"""Check 9: public inspection rules, each deficiency as a record of its own.

fail, major -> at least serious; dangerous -> high; minor, advisory -> at most medium; not failed ->
zone B at worst. The rows, each with its own mark [S], [S2] or [M], and the reasoned disagreements
are in public_rules.py.
"""

import json
from functools import cache
from pathlib import Path

import pytest

from inspect_app.engine import api
from inspect_app.engine.risk import RISKS
from tests.outside.public_rules import DISAGREEMENTS, NOT_USED, RULES, Rule

RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records" / "authorities"
MILD = ("ride", "ride_repair_planned")
AT_LEAST = {"fail": "serious", "major": "serious", "dangerous": "high"}
AT_MOST = {"minor": "medium", "advisory": "medium", "not_failed": "low"}
VERDICTS = {"high": "park_it", "serious": "repair_before_hard_use"}


@cache
def assessment(name):
    return json.loads(api.assess((RECORDS / f"{name}.json").read_text(encoding="utf-8")))


def agrees(rule: Rule) -> bool:
    """Whether risk and verdict of the whole machine are as grave, or as mild, as the rule says."""
    verdict = assessment(rule.record)["verdict"]
    rank = RISKS.index(verdict["risk"])
    if rule.severity in AT_LEAST:
        grave = rank >= RISKS.index(AT_LEAST[rule.severity])
        return grave and verdict["code"] == VERDICTS[verdict["risk"]]
    return rank <= RISKS.index(AT_MOST[rule.severity]) and verdict["code"] in MILD


def key(rule: Rule) -> tuple[str, str, str]:
    return rule.clause, rule.severity, rule.record


@pytest.mark.parametrize("rule", RULES, ids=lambda r: f"{r.clause}: {r.deficiency} [{r.mark}]")
def test_the_engine_is_as_grave_as_the_rule_or_says_why_not(rule):
    assert agrees(rule) is (key(rule) not in DISAGREEMENTS), assessment(rule.record)["verdict"]


@pytest.mark.parametrize("name", sorted({rule.record for rule in RULES}))
def test_the_deficiency_alone_decides(name):
    found = assessment(name)
    worn = {one["checkpoint"] for one in found["findings"] if one["zone"] != "A"}
    # a worn bearing that walks in its eye is one deficiency seen at two checkpoints
    assert worn in ({"bearing_play", "bearing_fit"}, *({one} for one in worn))
    assert found["unchecked"] == []
    assert not found["verdict"]["provisional"]


def test_the_same_machine_without_a_deficiency_may_ride():
    verdict = assessment("nothing_wrong")["verdict"]
    assert (verdict["code"], verdict["risk"]) == ("ride", "low")


def test_light_mist_is_not_failed():
    # the milder rule governs: makers, UK MOT advisories [S2], quad and trike manual 9.2 [S]
    (film,) = [f for f in assessment("damper_light_mist")["findings"] if f["zone"] != "A"]
    assert (film["checkpoint"], film["zone"], film["risk"]) == ("shaft_seal", "B", "low")


def test_every_record_is_used_and_every_disagreement_is_a_row():
    kept = {path.stem for path in RECORDS.glob("*.json")} - {"nothing_wrong"}
    assert kept == {rule.record for rule in RULES}
    assert DISAGREEMENTS.keys() <= {key(rule) for rule in RULES}
    assert {rule.mark for rule in RULES} == {"S", "S2", "M"}
    assert all(len(why) > 40 for why in DISAGREEMENTS.values())


def test_what_is_not_confirmed_is_not_tested_on():
    assert "not confirmed" in NOT_USED["49 CFR 393.207(f), 3 psi in 5 minutes"]
    clauses = " ".join(f"{rule.clause} {rule.deficiency}" for rule in RULES)
    for unsure in ("393.207(f)", "psi", "side difference", "EUSAMA", "5.3.2.1"):
        assert unsure not in clauses


def test_the_records_are_what_their_builder_writes():
    from fixtures.records.authorities.build import DEFICIENCIES, record, text_of

    for name, changed in DEFICIENCIES.items():
        kept = (RECORDS / f"{name}.json").read_text(encoding="utf-8")
        assert kept == text_of(record(name, changed))
