"""Signed on the glass: from the phone to the printed page, and what is not kept as a sign-off."""

import io
import json
from typing import Any

import pikepdf
import pytest
from pypdf import PdfReader

from inspect_app.inspections.models import Change
from inspect_app.reports.models import Report
from tests.phone import (
    Caller,
    change,
    close_change,
    inspection_change,
    observation_change,
)

pytestmark = pytest.mark.django_db


def sign_off(walk: str, **more: Any) -> dict[str, Any]:
    body = {
        "inspection": walk,
        "signed_at": "2026-05-14T23:20:00Z",
        "signs": "customer",
        "how": "drawn",
        "name": "J. Varga",
        "strokes": [[[100, 200], [300, 100], [500, 220]], [[600, 100]]],
        "shown": {"verdict": "Park it", "sum": "10.00 USD", "rulebook": "2026.1"},
        "declined": [
            {"what": "Oil drips from the seal, front left", "risk": "Serious risk: oil is lost."}
        ],
        "explained_by": "Ada",
        "disagrees": "It never dripped at home.",
    }
    return change("sign_off", **(body | more))


@pytest.fixture
def walk(owner: Caller) -> str:
    walk = inspection_change()
    walk["body"]["header"]["assemblies"] = [{"at": "front_left", "damper": "coilover"}]
    owner.sync(walk, observation_change(walk["body"]["id"], seen="dripping"))
    return str(walk["body"]["id"])


def issued(owner: Caller, walk: str) -> tuple[dict[str, Any], bytes]:
    answer = owner.post(f"/api/inspections/{walk}/reports", {"time_zone": "America/Los_Angeles"})
    assert answer.status_code == 200, answer.content
    return answer.json(), b"".join(owner.get(answer.json()["pdf"]).streaming_content)


def words_of(pdf: bytes) -> str:
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split()
    )


def test_who_signed_what_and_what_not_is_printed_and_attached(owner: Caller, walk: str) -> None:
    signed = sign_off(walk)
    (result,) = owner.sync(signed)["results"]
    assert result["outcome"] == "accepted"

    _, pdf = issued(owner, walk)

    words = words_of(pdf)
    assert "Signed by J. Varga customer" in words
    assert "14 May 2026, 16:20 (UTC-07:00)" in words
    assert "Not to be done now: Oil drips from the seal, front left." in words
    assert "Serious risk: oil is lost. Explained by Ada" in words
    assert "Does not agree:" in words
    assert "It never dripped at home." in words
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        attached = json.loads(opened.attachments["sign-offs.json"].get_file().read_bytes())
    assert attached[0].items() >= signed["body"].items()
    assert json.loads(Report.objects.get().sign_offs) == attached


def test_a_signature_makes_the_next_revision_and_the_first_stays_unsigned(
    owner: Caller, walk: str
) -> None:
    first, unsigned = issued(owner, walk)
    owner.sync(sign_off(walk))
    second, signed = issued(owner, walk)

    assert (first["revision"], second["revision"]) == (1, 2)
    assert "Varga" not in words_of(unsigned)
    assert "Varga" in words_of(signed)
    assert issued(owner, walk)[0] == second


def test_what_was_found_after_the_signature_is_said_not_to_be_part_of_it(
    owner: Caller, walk: str
) -> None:
    assessment = owner.get(f"/api/inspections/{walk}/assessment").json()
    sum_now = f"{assessment['money']['restore_now']} {assessment['money']['currency']}"
    shown = {"verdict": assessment["verdict"]["words"], "sum": sum_now, "rulebook": "2026.1"}
    owner.sync(sign_off(walk, shown=shown))
    assert "Answers given since" not in words_of(issued(owner, walk)[1])

    owner.sync(observation_change(walk, seen="bent", checkpoint="mounting"))

    assert "Answers given since are not part of this" in words_of(issued(owner, walk)[1])


def test_it_is_signed_after_the_closing_too_and_sent_twice_it_is_one(
    owner: Caller, walk: str
) -> None:
    owner.sync(close_change(walk))
    signed = sign_off(walk)
    outcomes = [owner.sync(signed)["results"][0]["outcome"] for _ in range(2)]
    assert outcomes == ["accepted", "already"]
    assert Change.objects.filter(kind="sign_off").count() == 1


def test_who_would_not_sign_needs_no_name_and_no_strokes(owner: Caller, walk: str) -> None:
    refused = sign_off(walk, how="refused", name="", strokes=[], declined=[], disagrees="")
    assert owner.sync(refused)["results"][0]["outcome"] == "accepted"
    assert "Would not sign no name given customer" in words_of(issued(owner, walk)[1])


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("signs", "owner"),
        ("how", "stamped"),
        ("name", ""),
        ("name", 7),
        ("signed_at", None),
        ("shown", "Park it"),
        ("shown", {"verdict": ""}),
        ("strokes", []),
        ("strokes", [[]]),
        ("strokes", [[[0, 334]]]),
        ("strokes", [[[-1, 0]]]),
        ("strokes", [[[0.5, 0]]]),
        ("strokes", [[[True, False]]]),
        ("strokes", [[[1, 2, 3]]]),
        ("strokes", [[[1, 2]] * 6001]),
        ("strokes", [7]),
        ("declined", [{"risk": "no name of a thing"}]),
        ("declined", ["all of it"]),
        ("declined", [{"what": "x"}] * 301),
        ("disagrees", "x" * 4001),
    ],
)
def test_what_is_no_sign_off_is_refused_with_its_place(
    owner: Caller, walk: str, field: str, value: object
) -> None:
    (result,) = owner.sync(sign_off(walk, **{field: value}))["results"]
    assert result["outcome"] == "refused"
    assert f"body.{field}" in result["why"]
    assert Change.objects.filter(kind="sign_off").count() == 0


def test_text_that_looks_like_markup_is_printed_as_it_is(owner: Caller, walk: str) -> None:
    owner.sync(sign_off(walk, name="<b>J&J</b>", disagrees="<img src=x> & 100 % sure"))
    words = words_of(issued(owner, walk)[1])
    assert "<b>J&J</b>" in words
    assert "<img src=x> & 100 % sure" in words


def test_a_stranger_signs_nothing_of_ours(owner: Caller, stranger: Caller, walk: str) -> None:
    stranger.sync(sign_off(walk, name="Dee"))
    assert "Dee" not in words_of(issued(owner, walk)[1])


def test_a_signature_of_an_earlier_revision_never_looks_as_if_given_for_this_one(
    owner: Caller,
) -> None:
    begun = inspection_change()
    begun["body"]["header"]["assemblies"] = [{"at": "front_left", "damper": "coilover"}]
    walk = str(begun["body"]["id"])
    dripping = observation_change(walk, seen="dripping")
    owner.sync(begun, dripping)
    (found,) = owner.get(f"/api/inspections/{walk}/assessment").json()["findings"]
    name = f"{found['title']}, {found['place']}"
    owner.sync(sign_off(walk, declined=[{"what": name, "risk": "Oil is lost."}]))
    _, first = issued(owner, walk)
    of_first = Report.objects.get(revision=1).issued_at_text
    assert "before this revision" not in words_of(first)
    assert f"Not to be done now: {name}." in words_of(first)

    taken_back = observation_change(walk, seen="dry", replaces=(dripping["body"]["id"],))
    bent = observation_change(walk, seen="bent", checkpoint="mounting")
    owner.sync(taken_back, bent)
    second = words_of(issued(owner, walk)[1])

    assert f"Signed before this revision (revision 1, {of_first})." in second
    assert f"{name}: no longer found" in second
    assert "front left: found since" in second
    assert f"Not a finding of this revision: {name}." in second
    assert "Not to be done now" not in second
    assert "Did not agree then: “It never dripped at home.”" in second
    assert "Signed by, before this revision J. Varga" in second


def test_a_later_revision_that_says_the_same_still_says_for_which_it_was_signed(
    owner: Caller, walk: str
) -> None:
    owner.sync(sign_off(walk))
    issued(owner, walk)
    owner.sync(sign_off(walk, signs="shop", name="Ada", declined=[], disagrees=""))

    second = words_of(issued(owner, walk)[1])

    assert "Signed before this revision (revision 1," in second
    assert "Nothing it was given for has changed since." in second
    assert "Signed by Ada for the shop" in second


def test_sent_again_to_a_server_that_lost_it_a_signature_covers_no_later_answer(
    owner: Caller, walk: str
) -> None:
    """Its own work goes again with the answers first: only the times tell what was signed."""
    later = observation_change(
        walk, seen="bent", checkpoint="mounting", recorded_at="2026-05-15T08:00:00Z"
    )
    owner.sync(later)
    owner.sync(sign_off(walk))

    words = words_of(issued(owner, walk)[1])

    assert "Signed before the last changes to what was recorded." in words
    assert "front left: found since" in words
