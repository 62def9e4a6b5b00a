"""The invented scenario holds together: ids, photos, words, and what the builders write."""

import hashlib
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
RECORDS = sorted((FIXTURES / "records").glob("*.json"))
PHOTOS = sorted((FIXTURES / "photos").glob("*.jpg"))
UUID7 = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")

# domain.md, "Checkpoints": every word of the table, copied by hand.
WORDS = {
    "bounce": "settles_at_once one_return keeps_bouncing hardly_moves stuck",
    "tyre_match": "same differs",
    "shaft_seal": "dry dust_ring oil_film oil_run dripping",
    "shaft_surface": "clean bent",
    "body_wall": "untouched finish_rubbed bare_metal groove dented corroded",
    "coil_contact": "none polished flat deep_flat",
    "spring_condition": "sound surface_rust pitted spacer cracked broken displaced welded_or_cut "
    "missing",
    "slider": "sound liner_worn worn_through missing",
    "crossover": "sound marked clashing moved",
    "mounting": "tight loose bent bolt_missing cracked",
    "bump_stop": "sound compressed torn missing",
    "guard": "sound torn missing",
    "reservoir": "sound chafed weeping leaking",
    "bypass_tubes": "sound scraped dented leaking",
    "adjusters": "free stiff seized missing",
    "electronics": "sound lamp_on harness_damaged",
    "bearing_play": "none felt moves_visibly knocks",
    "bearing_fit": "tight creeps walks bore_oval",
    "spring_seat": "loaded just_loose rattles",
    "ride_feel": "soft bottoms_out sluggish leans kicks knocks fades_hot",
    "heat_after_drive": "even one_cold one_hot",
    "piston_band": "full thin through",
    "shims": "flat bowed cracked",
    "shaft_bushing": "lined patchy bare",
    "seals": "supple hard torn",
    "oil": "clear dark milky metallic",
}
MEASURED = {
    "ride_height", "gas_pressure", "shaft_runout", "spring_free_length", "air_spring_pressure",
}  # fmt: skip
MARKS = {"ding", "scratch", "pitting", "rust", "plating_loss"}


def read(path: Path) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return document


def observations() -> Iterator[tuple[str, dict[str, Any]]]:
    for path in RECORDS:
        for one in read(path)["observations"]:
            yield path.stem, one


def test_every_referenced_photo_is_there_with_that_hash() -> None:
    kept = {"sha256:" + hashlib.sha256(path.read_bytes()).hexdigest() for path in PHOTOS}
    referenced = {photo for _, one in observations() for photo in one.get("photos", [])}
    assert referenced
    assert referenced <= kept


def test_every_photo_has_a_caption_that_says_it_is_invented() -> None:
    captions = json.loads((FIXTURES / "photos" / "captions.json").read_text(encoding="utf-8"))
    assert set(captions) == {path.name for path in PHOTOS}
    assert {row["made"] for row in captions.values()} == {"invented, rendered"}
    assert len({row["shows"] for row in captions.values()}) == len(captions)


def test_photos_are_many_phone_sized_and_small() -> None:
    assert len(PHOTOS) >= 30
    assert sum(path.stat().st_size for path in PHOTOS) < 5_000_000
    for path in PHOTOS:
        with Image.open(path) as picture:
            assert picture.format == "JPEG"
            assert picture.size == (1200, 900)
            assert not picture.getexif()
            picture.load()


def test_ids_are_version_7_and_never_repeat() -> None:
    ids = [read(path)["id"] for path in RECORDS] + [one["id"] for _, one in observations()]
    scenario = read(FIXTURES / "demo" / "scenario.json")
    ids += [m["id"] for yard in scenario["organisations"] for m in yard["machines"]]
    assert [one for one in ids if not UUID7.fullmatch(one)] == []
    assert len(ids) == len(set(ids))


def test_every_word_of_the_trade_is_seen_somewhere() -> None:
    seen = set()
    for _, one in observations():
        words = one.get("seen", [])
        seen |= {(one["checkpoint"], w) for w in ([words] if isinstance(words, str) else words)}
    expected = {(name, word) for name, words in WORDS.items() for word in words.split()}
    assert seen == expected


def test_every_measured_checkpoint_and_kind_of_mark_is_seen_somewhere() -> None:
    measured = {one["checkpoint"] for _, one in observations() if one.get("readings")}
    assert measured >= MEASURED
    marks = {mark["kind"] for _, one in observations() for mark in one.get("marks", [])}
    assert marks == MARKS


def test_everything_wrong_looks_at_every_checkpoint() -> None:
    looked_at = {one["checkpoint"] for name, one in observations() if name == "everything_wrong"}
    assert looked_at == WORDS.keys() | MEASURED


def test_each_place_is_answered_once_in_a_record() -> None:
    for path in RECORDS:
        places = [
            (one["checkpoint"], one.get("at"), one.get("part"))
            for one in read(path)["observations"]
        ]
        assert len(places) == len(set(places)), path.name


def test_the_scenario_names_each_record_once_and_its_machines() -> None:
    scenario = read(FIXTURES / "demo" / "scenario.json")
    named = [one["record"] for o in scenario["organisations"] for one in o["inspections"]]
    assert sorted(named) == sorted(f"../records/{path.name}" for path in RECORDS)
    assert len(named) >= 14
    kinds = set()
    for organisation in scenario["organisations"]:
        machines = {machine["id"]: machine for machine in organisation["machines"]}
        kinds |= {machine["kind"] for machine in machines.values()}
        for inspection in organisation["inspections"]:
            record = read(FIXTURES / "demo" / inspection["record"])
            machine = machines[inspection["machine"]]
            assert record["machine"]["label"] == machine["label"]
            assert record["machine"]["kind"] == machine["kind"]
    assert kinds == {
        "sport_side_by_side", "utility_side_by_side", "quad", "buggy", "light_truck",
        "desert_truck", "motorcycle",
    }  # fmt: skip
    assert "invented" in scenario["about"]


@pytest.mark.parametrize("builder", ["demo/build.py", "records/bad/build.py"])
def test_the_kept_files_are_what_the_builder_writes(builder: str) -> None:
    folders = (FIXTURES / "records", FIXTURES / "demo")
    files = [
        path for folder in folders for path in folder.rglob("*") if path.suffix in (".json", ".txt")
    ]
    before = {path: path.read_bytes() for path in files}
    try:
        subprocess.run([sys.executable, str(FIXTURES / builder)], check=True)
        assert {path.name for path in files if path.read_bytes() != before[path]} == set()
    finally:
        for path, kept in before.items():
            path.write_bytes(kept)
