"""The page where anybody checks a report, met by people who have no account."""

import hashlib
import re
from html import unescape

import pytest
from django.core.cache import cache
from django.test import Client

from inspect_app.reports.check_page import WRONG_CODES
from inspect_app.reports.codes import CODE_ALPHABET, new_code, tidy_code
from tests.phone import Caller, inspection_change, observation_change

pytestmark = pytest.mark.django_db
NEVER = "2222-2222-2222"


@pytest.fixture(autouse=True)
def _nobody_has_tried_yet() -> None:
    cache.clear()


@pytest.fixture
def walk(owner: Caller) -> str:
    walk = inspection_change()
    walk["body"]["header"]["assemblies"] = [{"at": "front_left", "damper": "coilover"}]
    walk["body"]["header"]["machine"]["label"] = "Ada's own machine"
    owner.sync(walk, observation_change(walk["body"]["id"], seen="dripping"))
    return str(walk["body"]["id"])


def issue(owner: Caller, walk: str, **asked: object) -> dict:
    answer = owner.post(f"/api/inspections/{walk}/reports", asked)
    assert answer.status_code == 200, answer.content
    return answer.json()


def pdf_of(owner: Caller, report: dict) -> bytes:
    return b"".join(owner.get(report["pdf"]).streaming_content)


def words(path: str, *, status: int = 200, **query: str) -> str:
    """What a visitor without an account reads."""
    answer = Client().get(path, query)
    assert answer.status_code == status, answer.content
    text = re.sub(r"<(script|style|noscript).*?</\1>|<[^>]+>", " ", answer.content.decode())
    return " ".join(unescape(text).split())


def test_a_genuine_code_tells_number_revision_and_date_and_nothing_else(
    owner: Caller, walk: str
) -> None:
    report = issue(owner, walk, time_zone="Asia/Tokyo")

    said = words(report["check"])

    assert "Genuine" in said
    assert f"{report['number']}, revision 1" in said
    assert "UTC+09:00" in said  # as the paper prints it
    assert "No later revision" in said
    for secret in ("Ada", "Kiln yard", "Park", "Repair", "drip", walk, "front"):
        assert secret not in said


def test_the_verdict_is_told_only_where_the_issuer_allows_it_and_can_be_taken_back(
    owner: Caller, walk: str
) -> None:
    verdict = owner.get(f"/api/inspections/{walk}/assessment").json()["verdict"]["words"]
    report = issue(owner, walk, tells_verdict=True)
    assert f"Said then {verdict}" in words(report["check"])

    assert issue(owner, walk) == report | {"tells_verdict": False}
    assert verdict not in words(report["check"])


def test_an_earlier_revision_says_that_it_was_replaced(owner: Caller, walk: str) -> None:
    first = issue(owner, walk)
    owner.sync(observation_change(walk, seen="bent", checkpoint="mounting"))
    second = issue(owner, walk)

    assert "Genuine, but replaced" in words(first["check"])
    assert "No later revision" in words(second["check"])


def test_the_file_as_issued_is_known_by_its_fingerprint_alone_or_with_its_code(
    owner: Caller, walk: str
) -> None:
    report = issue(owner, walk)
    fingerprint = hashlib.sha256(pdf_of(owner, report)).hexdigest()

    for path in ("/check/", report["check"]):
        said = words(path, file=fingerprint)
        assert "Genuine and unchanged" in said
        assert f"{report['number']}, revision 1" in said


def test_one_byte_changed_is_told_with_the_code_and_without(owner: Caller, walk: str) -> None:
    report = issue(owner, walk)
    pdf = bytearray(pdf_of(owner, report))
    pdf[1000] ^= 1
    fingerprint = hashlib.sha256(pdf).hexdigest()

    assert "Not the file that was issued" in words(report["check"], file=fingerprint)
    assert "Not one of ours" in words("/check/", status=404, file=fingerprint)


def test_the_file_of_another_revision_is_told_apart(owner: Caller, walk: str) -> None:
    first = issue(owner, walk)
    owner.sync(observation_change(walk, seen="bent", checkpoint="mounting"))
    second = issue(owner, walk)
    old_file = hashlib.sha256(pdf_of(owner, first)).hexdigest()

    said = words(second["check"], file=old_file)

    assert "Genuine, but replaced" in said
    assert f"is not the one of this file: {second['verify_code']}" in said


def test_a_code_never_issued_is_not_ours(owner: Caller, walk: str) -> None:
    issue(owner, walk)
    for path in (f"/check/{NEVER}", "/check/<script>alert(1)", "/check/2"):
        assert "Not one of ours" in words(path, status=404)
    assert b"<script>alert" not in Client().get("/check/", {"code": "<script>alert(1)"}).content


@pytest.mark.parametrize("typing", ["{}", "{} ", "lower", "no dashes", "spaces"])
def test_a_code_is_taken_however_it_is_typed(owner: Caller, walk: str, typing: str) -> None:
    report = issue(owner, walk)
    code = report["verify_code"]
    typed = {
        "lower": code.lower(),
        "no dashes": code.replace("-", ""),
        "spaces": code.replace("-", " "),
    }.get(typing, typing.format(code))

    answer = Client().get("/check/", {"code": typed})

    assert (answer.status_code, answer.headers["Location"]) == (302, report["check"])


def test_few_wrong_codes_may_be_tried_and_a_right_one_is_then_not_told_either(
    owner: Caller, walk: str
) -> None:
    report = issue(owner, walk)
    for _ in range(WRONG_CODES):
        words(f"/check/{NEVER}", status=404)

    assert "Too many wrong codes" in words(f"/check/{NEVER}", status=429)
    assert "Too many wrong codes" in words(report["check"], status=429)
    fingerprint = hashlib.sha256(pdf_of(owner, report)).hexdigest()
    assert "Genuine" in words("/check/", file=fingerprint)
    assert Client(REMOTE_ADDR="192.0.2.7").get(report["check"]).status_code == 200


def test_addresses_of_one_network_share_their_tries_where_a_caller_has_many() -> None:
    for last in range(WRONG_CODES):
        Client(REMOTE_ADDR=f"2001:db8::{last:x}").get(f"/check/{NEVER}")

    assert Client(REMOTE_ADDR="2001:db8::ffff").get(f"/check/{NEVER}").status_code == 429
    assert Client(REMOTE_ADDR="2001:db8:1::1").get(f"/check/{NEVER}").status_code == 404


@pytest.mark.parametrize("allowed", [True, False])
def test_a_check_takes_at_most_two_queries(
    owner: Caller, walk: str, django_assert_max_num_queries, allowed: bool
) -> None:
    report = issue(owner, walk, tells_verdict=allowed)
    fingerprint = hashlib.sha256(pdf_of(owner, report)).hexdigest()
    for path in (report["check"], f"{report['check']}?file={fingerprint}", f"/check/{NEVER}"):
        with django_assert_max_num_queries(2):
            Client().get(path)


def test_nothing_of_a_check_is_kept_or_indexed_and_nothing_is_run_that_is_not_ours(
    owner: Caller, walk: str
) -> None:
    answer = Client().get(issue(owner, walk)["check"])

    assert "no-store" in answer.headers["Cache-Control"]
    assert answer.headers["X-Robots-Tag"] == "noindex"
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert not answer.cookies
    assert b"style=" not in answer.content
    assert Client().post("/check/").status_code == 405


def test_what_the_page_is_made_of_is_served() -> None:
    page = Client().get("/check/").content.decode()
    files = re.findall(r'(?:href|src)="(/static/[^"]+)"', page)
    assert len(files) == 4
    for file in files:
        assert Client().get(file).status_code == 200, file


def test_codes_are_read_out_without_mistakes_and_do_not_repeat() -> None:
    codes = {new_code() for _ in range(500)}
    assert len(codes) == 500
    assert not set("01ILOU") & set(CODE_ALPHABET)
    assert {tidy_code(code) for code in codes} == codes
    assert len(CODE_ALPHABET) ** 12 > 10**17
