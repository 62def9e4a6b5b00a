"""Signing in, out, and starting silently (case B10); CSRF on every change."""

import pytest
from django.test import Client

from inspect_app.people.models import Attempt, Member, Organisation
from inspect_app.people.services import ATTEMPTS_BY_ACCOUNT, ATTEMPTS_BY_ADDRESS
from tests.conftest import SIGN_IN_WORDS
from tests.phone import Caller

pytestmark = pytest.mark.django_db


def sign_in(caller: Caller, password: str = SIGN_IN_WORDS, name: str = "Ada", **headers: str):
    body = {"username": name, "password": password}
    return caller.post("/api/session", body, **headers)


def test_signing_in_and_out(owner: Caller, signed_out: Caller) -> None:
    empty = signed_out.get("/api/session").json()
    assert (empty["person"], empty["organisation"]) == (None, None)
    assert empty["csrf"]
    answer = sign_in(signed_out)
    assert answer.status_code == 200
    ada = {"id": owner.member.phone_name, "name": "Ada", "private": False}
    assert answer.json()["person"] == signed_out.get("/api/session").json()["person"] == ada
    assert answer.json()["organisation"]["name"] == "Kiln yard"
    assert signed_out.get("/api/machines").status_code == 200
    assert signed_out.call("delete", "/api/session").status_code == 204
    assert signed_out.get("/api/machines").status_code == 401
    assert signed_out.get("/api/session").json()["person"] is None


def test_the_token_given_at_sign_in_works_for_the_next_change(
    owner: Caller, signed_out: Caller
) -> None:
    token = sign_in(signed_out).json()["csrf"]
    body = {"device": "a", "cursor": None, "changes": []}
    assert signed_out.post("/api/sync", body, **{"X-CSRFToken": token}).status_code == 200


@pytest.mark.parametrize("path", ["/api/session", "/api/session/private", "/api/sync"])
@pytest.mark.parametrize("signed_in", [True, False])
def test_no_change_without_the_token(owner: Caller, path: str, signed_in: bool) -> None:
    client = Client(enforce_csrf_checks=True)
    if signed_in:
        client.force_login(owner.member.user)
    body = {"username": "Ada", "password": SIGN_IN_WORDS}
    answer = client.post(path, body, content_type="application/json")
    assert (answer.status_code, answer.json()["code"]) == (403, "csrf_failed")
    assert Organisation.objects.filter(is_private=True).count() == 0


def test_a_wrong_password_and_an_unknown_name_sound_the_same(
    owner: Caller, signed_out: Caller
) -> None:
    wrong, unknown = sign_in(signed_out, "no"), sign_in(signed_out, name="Nobody")
    assert wrong.status_code == unknown.status_code == 401
    assert wrong.json() == unknown.json()


def test_a_changing_forwarded_for_is_no_way_round_the_limit_of_an_account(
    owner: Caller, signed_out: Caller
) -> None:
    codes = [
        sign_in(signed_out, "wrong", **{"X-Forwarded-For": f"10.9.8.{n}"}).status_code
        for n in range(50)
    ]
    assert codes == [401] * ATTEMPTS_BY_ACCOUNT + [429] * (50 - ATTEMPTS_BY_ACCOUNT)
    assert sign_in(signed_out).status_code == 429  # even the right one waits
    assert "quarter of an hour" in sign_in(signed_out).json()["detail"]


def test_many_accounts_from_one_address_are_limited_too(signed_out: Caller) -> None:
    codes = [
        sign_in(
            signed_out, "wrong", name=f"user{n}", **{"X-Forwarded-For": f"10.9.8.{n}"}
        ).status_code
        for n in range(ATTEMPTS_BY_ADDRESS + 5)
    ]
    assert codes.count(401) == ATTEMPTS_BY_ADDRESS
    assert codes[-5:] == [429] * 5


def test_behind_a_trusted_proxy_each_client_has_its_own_limit(
    owner: Caller, signed_out: Caller, settings
) -> None:
    settings.TRUSTED_PROXIES = ["127.0.0.0/8"]
    for n in range(ATTEMPTS_BY_ADDRESS):
        sign_in(signed_out, "wrong", name=f"user{n}", **{"X-Forwarded-For": "10.9.8.7"})
    here = {"X-Forwarded-For": "10.9.8.7"}
    assert sign_in(signed_out, "wrong", name="new", **here).status_code == 429
    # A client writes its own X-Forwarded-For: the proxy appends the address it really sees.
    forged = {"X-Forwarded-For": "1.2.3.4, 10.9.8.7"}
    assert sign_in(signed_out, "wrong", name="new", **forged).status_code == 429
    assert sign_in(signed_out, **{"X-Forwarded-For": "10.9.8.6"}).status_code == 200


def test_success_forgets_the_wrong_attempts(owner: Caller, signed_out: Caller) -> None:
    for _ in range(ATTEMPTS_BY_ACCOUNT - 1):
        sign_in(signed_out, "wrong")
    assert sign_in(signed_out).status_code == 200
    assert Attempt.objects.count() == 0


def test_a_private_person_starts_silently_in_an_organisation_of_one(signed_out: Caller) -> None:
    first = signed_out.post("/api/session/private").json()
    assert first["person"]["private"] is True
    assert signed_out.get("/api/session").json()["person"] == first["person"]
    assert signed_out.post("/api/session/private").json()["person"] == first["person"]
    (member,) = Member.objects.filter(organisation__is_private=True)
    assert not member.user.has_usable_password()
    assert signed_out.get("/api/machines").json()["rows"] == []


def test_the_private_start_is_limited_by_address(db: None) -> None:
    codes = [Caller().post("/api/session/private").status_code for _ in range(22)]
    assert codes == [200] * 20 + [429] * 2


@pytest.mark.parametrize("body", [{}, [], {"username": 1, "password": "x"}, {"username": "Ada"}])
def test_an_incomplete_sign_in_is_400(signed_out: Caller, body: object) -> None:
    assert signed_out.post("/api/session", body).status_code == 400
