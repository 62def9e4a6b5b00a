"""Behind a TLS proxy (case B15), and what a fault of ours looks like."""

import logging

import pytest
from django.conf import LazySettings

from tests.conftest import SIGN_IN_WORDS
from tests.phone import Caller

pytestmark = pytest.mark.django_db
HTTPS = {
    "X-Forwarded-Proto": "https",
    "X-Forwarded-For": "203.0.113.7",
    "Origin": "https://inspect.example.org",
    "Host": "inspect.example.org",
    "Referer": "https://inspect.example.org/",
}


@pytest.fixture
def behind_tls(settings: LazySettings) -> LazySettings:
    """The documented settings: INSPECT_HTTPS, INSPECT_HOSTS, INSPECT_PROXIES."""
    settings.ALLOWED_HOSTS = ["inspect.example.org"]
    settings.SECURE_SSL_REDIRECT = True
    settings.SESSION_COOKIE_SECURE = settings.CSRF_COOKIE_SECURE = True
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    settings.TRUSTED_PROXIES = ["127.0.0.1"]
    return settings


def test_signing_in_and_posting_work_behind_the_proxy(
    behind_tls: LazySettings, owner: Caller
) -> None:
    caller = Caller()
    token = caller.get("/api/session", **HTTPS).json()["csrf"]
    body = {"username": "Ada", "password": SIGN_IN_WORDS}
    answer = caller.post("/api/session", body, **HTTPS, **{"X-CSRFToken": token})
    assert answer.status_code == 200, answer.content
    assert caller.client.cookies["sessionid"]["secure"]
    sync = {"device": "a", "cursor": None, "changes": []}
    token = answer.json()["csrf"]
    assert caller.post("/api/sync", sync, **HTTPS, **{"X-CSRFToken": token}).status_code == 200


def test_a_page_of_another_origin_cannot_post(behind_tls: LazySettings, owner: Caller) -> None:
    token = owner.get("/api/session", **HTTPS).json()["csrf"]
    foreign = HTTPS | {"Origin": "https://elsewhere.example", "X-CSRFToken": token}
    answer = owner.post("/api/sync", {"device": "a", "changes": []}, **foreign)
    assert (answer.status_code, answer.json()["code"]) == (403, "csrf_failed")


def test_forwarded_headers_from_anybody_else_are_not_believed(
    behind_tls: LazySettings, signed_out: Caller
) -> None:
    behind_tls.TRUSTED_PROXIES = ["10.0.0.1"]
    answer = signed_out.get("/api/session", **HTTPS)
    assert answer.status_code == 301  # seen as plain http: sent to https


def test_browsers_are_told_to_send_an_origin(signed_out: Caller) -> None:
    # "no-referrer" would make it "Origin: null" and every post fail.
    assert signed_out.get("/api/session").headers["Referrer-Policy"] == "same-origin"


def test_a_fault_of_ours_is_a_log_line_with_the_id_the_person_sees(
    owner: Caller, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(_organisation: object) -> None:
        raise ZeroDivisionError("a secret detail")

    monkeypatch.setattr("inspect_app.machines.api.machines_of", broken)
    with caplog.at_level(logging.ERROR, logger="inspect_app.errors"):
        answer = owner.get("/api/machines")
    assert answer.status_code == 500
    body = answer.json()
    assert body["code"] == "server_fault"
    assert "secret" not in answer.content.decode()
    fault_id = body["detail"].rstrip(".").split()[-1]
    assert len(fault_id) == 8
    assert f"fault {fault_id} at GET /api/machines" in caplog.text
    assert "ZeroDivisionError" in caplog.text


def test_what_is_not_there_is_json_under_api(signed_out: Caller) -> None:
    answer = signed_out.get("/api/nothing")
    assert (answer.status_code, answer.json()["code"]) == (404, "not_found")


def test_a_wrong_method_is_405_in_json(owner: Caller) -> None:
    answer = owner.call("delete", "/api/machines")
    assert answer.status_code == 405
    assert set(answer.json()) == {"code", "detail", "fields"}


def test_guides_come_once_for_each_kind_and_are_then_unchanged(signed_out: Caller) -> None:
    import json

    import brotli

    answer = signed_out.get("/api/guides")
    guides = answer.json()
    kinds = {kind["id"] for kind in guides["other"]["machine_kinds"]}
    assert set(guides) == kinds
    assert all(guide["format"] == "suspension-guide/1" for guide in guides.values())
    again = signed_out.get("/api/guides", **{"If-None-Match": answer.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    packed = signed_out.get("/api/guides", **{"Accept-Encoding": "gzip, deflate, br"})
    assert packed.headers["Content-Encoding"] == "br"
    assert json.loads(brotli.decompress(packed.content)) == guides


def test_a_guide_ignores_observations(owner: Caller) -> None:
    record = {
        "format": "suspension-record/1",
        "id": "x",
        "inspected_on": "2026-05-14",
        "machine": {"kind": "quad"},
        "observations": ["nonsense"],
    }
    answer = owner.post("/api/guide", record)
    assert answer.status_code == 200, answer.content
    assert answer.json()["steps"]
    assert owner.post("/api/assess", record).status_code == 422
