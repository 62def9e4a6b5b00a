"""An opened damper: its words decide, its readings (band, bow) have no limits and are kept.

Sums by hand from the sample price book: 95.00 an hour, damper out 0.6 h and strip-down 0.8 h
(133.00), service 1.2 h + 60.00 (174.00), then the part's own work.
"""

from typing import Any

import pytest

from tests.engine.records import assessed, found, seen

SERVICE = 133 + 174
OPENED = {"stops": ["stripped"]}


@pytest.mark.parametrize(
    ("checkpoint", "word", "zone", "work", "now", "grows_into"),
    [
        ("piston_band", "full", "A", None, 0, None),
        ("piston_band", "thin", "B", None, 0, "New body"),
        ("piston_band", "through", "D", "piston_band", SERVICE + 19 + 25, "New body"),
        ("shims", "flat", "A", None, 0, None),
        ("shims", "bowed", "C", "shims", SERVICE + 38 + 60, "New damper"),
        ("shims", "cracked", "D", "shims", SERVICE + 38 + 60, "New damper"),
        ("shaft_bushing", "lined", "A", None, 0, None),
        ("shaft_bushing", "patchy", "C", "bushing", SERVICE + 28.5 + 30, "New shaft"),
        ("shaft_bushing", "bare", "D", "bushing", SERVICE + 28.5 + 30, "New shaft"),
        ("seals", "supple", "A", None, 0, None),
        ("seals", "hard", "C", "service", SERVICE, "New shaft"),
        ("seals", "torn", "D", "service", SERVICE, "New shaft"),
        ("oil", "clear", "A", None, 0, None),
        ("oil", "dark", "B", None, 0, "New body"),
        ("oil", "milky", "C", "service", SERVICE, "New body"),
        ("oil", "metallic", "D", "service", SERVICE, "New body"),
    ],
)
def test_each_word_has_its_zone_its_work_and_what_it_grows_into(
    checkpoint: str, word: str, zone: str, work: str | None, now: float, grows_into: str | None
) -> None:
    finding = found(seen(checkpoint, word), **OPENED)
    money = finding["money"]
    assert finding["zone"] == zone
    assert money["works"] == ([] if work is None else [f"{work}@front_left"])
    assert float(money["cost_now"]) == now
    assert money["grows_into"] == grows_into
    assert finding["probability_beyond"] is None
    assert finding["risk"] == {"A": "low", "B": "low", "C": "medium", "D": "serious"}[zone]


@pytest.mark.parametrize(
    ("checkpoint", "key", "name", "words"),
    [
        ("piston_band", "band_left", "Band left, standing proud", {"full": "A", "through": "D"}),
        ("shims", "bow", "Bow of the worst shim", {"flat": "A", "cracked": "D"}),
    ],
)
@pytest.mark.parametrize("told", ["0 mm", "0.01 mm", "0.9 mm", "1/8 in"])
def test_a_reading_without_limits_moves_no_word_and_is_told(
    checkpoint: str, key: str, name: str, words: dict[str, str], told: str
) -> None:
    for word, zone in words.items():
        finding = found(seen(checkpoint, word, readings={key: told}), **OPENED)
        assert finding["zone"] == zone
        assert finding["measurand"] is None
        assert f"{name} {told}" in finding["as_seen"]


@pytest.mark.parametrize(("checkpoint", "key"), [("piston_band", "band_left"), ("shims", "bow")])
def test_a_reading_alone_is_no_look_and_says_so(checkpoint: str, key: str) -> None:
    answer = seen(checkpoint, readings={key: "0.2 mm"})
    document: dict[str, Any] = assessed(answer, **OPENED)
    (finding,) = document["findings"]
    assert finding["zone"] == "?"
    assert finding["because"] == (
        "Not determined: needs a word for what was seen: this reading has no limits."
    )
    assert document["machine"]["coverage"] == 0
    places = [one["at"] for one in document["unchecked"] if one["checkpoint"] == checkpoint]
    assert "front_left" in places


def test_a_whole_damper_opened_pays_the_strip_down_once() -> None:
    # band 44.00, shims 98.00, bushing 58.50 and the service with its steps 307.00: 507.50
    worn = {"piston_band": "through", "shims": "bowed", "shaft_bushing": "patchy",
            "seals": "hard", "oil": "milky"}  # fmt: skip
    document = assessed(*(seen(name, word) for name, word in worn.items()), **OPENED)
    assert document["money"]["restore_now"] == "507.50"
