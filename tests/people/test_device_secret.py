"""A private person's phone is let in again, as the same person and as nobody else."""

import pytest
from django.conf import LazySettings
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session

from inspect_app.people.models import DeviceSecret, Member
from inspect_app.people.services import ATTEMPTS_BY_ADDRESS
from tests.conftest import SIGN_IN_WORDS
from tests.phone import Caller, machine_change

pytestmark = pytest.mark.django_db


def begin_privately(caller: Caller) -> dict:
    answer = caller.post("/api/session/private")
    assert answer.status_code == 200
    return answer.json()


def come_back(caller: Caller, secret: object):
    return caller.post("/api/session/private", {"secret": secret})


def test_after_the_session_is_gone_the_secret_leads_to_the_same_person_and_rows() -> None:
    phone = Caller()
    begun = begin_privately(phone)
    phone.sync(machine_change(label="Blue one"))
    Session.objects.all().delete()
    assert phone.get("/api/machines").status_code == 401
    again = come_back(phone, begun["secret"])
    assert again.json()["person"] == begun["person"]
    assert again.json()["organisation"] == begun["organisation"]
    assert [row["label"] for row in phone.get("/api/machines").json()["rows"]] == ["Blue one"]


def test_the_token_given_with_it_works_for_the_next_change() -> None:
    secret = begin_privately(Caller())["secret"]
    phone = Caller()
    token = come_back(phone, secret).json()["csrf"]
    body = {"device": "a", "cursor": None, "changes": []}
    assert phone.post("/api/sync", body, **{"X-CSRFToken": token}).status_code == 200


def test_the_secret_is_stored_only_as_its_digest_and_told_nowhere_else() -> None:
    phone = Caller()
    secret = begin_privately(phone)["secret"]
    assert len(secret) >= 43  # 256 bits
    (row,) = DeviceSecret.objects.all()
    assert secret not in (row.digest, str(row))
    assert "secret" not in phone.get("/api/session").json()


def test_each_use_gives_a_new_one_and_ends_the_one_before_it() -> None:
    first = begin_privately(Caller())
    second = come_back(Caller(), first["secret"]).json()
    assert second["secret"] != first["secret"]
    third = come_back(Caller(), second["secret"]).json()
    assert third["person"] == first["person"]
    assert come_back(Caller(), first["secret"]).status_code == 401
    assert DeviceSecret.objects.count() == 2


def test_an_answer_lost_on_its_way_shuts_nobody_out() -> None:
    first = begin_privately(Caller())
    come_back(Caller(), first["secret"])  # the phone never learns of the new one
    arrived = come_back(Caller(), first["secret"]).json()
    come_back(Caller(), first["secret"])  # a try given up by the phone, worked off late
    assert come_back(Caller(), arrived["secret"]).json()["person"] == first["person"]


def test_a_phone_with_a_session_and_no_secret_is_given_one() -> None:
    phone = Caller()
    begun = begin_privately(phone)
    again = begin_privately(phone)
    assert again["person"] == begun["person"]
    assert come_back(Caller(), again["secret"]).json()["person"] == begun["person"]


def test_deleting_the_rows_shuts_a_lost_phone_out() -> None:
    begun = begin_privately(Caller())
    DeviceSecret.objects.all().delete()
    assert come_back(Caller(), begun["secret"]).status_code == 401


def test_a_database_made_anew_gives_nobody_the_name_of_somebody_else() -> None:
    before = Member(pk=7, user=User(username="private-before"))
    after = Member(pk=7, user=User(username="private-after"))
    assert before.phone_name != after.phone_name
    assert before.phone_name == Member(pk=8, user=User(username="private-before")).phone_name


@pytest.mark.parametrize("secret", ["", "x", "a" * 43, "ü", "a" * 5000])
def test_an_unknown_secret_makes_nothing_and_signs_nobody_in(secret: str) -> None:
    begin_privately(Caller())
    phone = Caller()
    answer = come_back(phone, secret)
    assert (answer.status_code, answer.json()["code"]) == (401, "unknown_secret")
    assert phone.get("/api/session").json()["person"] is None
    assert Member.objects.count() == 1


@pytest.mark.parametrize("secret", [1, ["a"], {}, True])
def test_what_is_no_text_is_400(secret: object) -> None:
    assert come_back(Caller(), secret).status_code == 400


def test_a_person_signed_in_by_name_stays_so_and_is_given_no_secret(owner: Caller) -> None:
    secret = begin_privately(Caller())["secret"]
    for body in ({}, {"secret": secret}):
        answer = owner.post("/api/session/private", body).json()
        assert (answer["person"]["name"], answer["secret"]) == ("Ada", None)
    assert owner.get("/api/session").json()["person"]["name"] == "Ada"


def test_another_private_session_gives_way_to_the_secret() -> None:
    secret, phone = begin_privately(Caller())["secret"], Caller()
    begin_privately(phone)
    again = come_back(phone, secret).json()
    assert phone.get("/api/session").json()["person"] == again["person"]


def test_no_secret_lets_into_a_named_organisation_or_an_account_that_was_shut() -> None:
    secret = begin_privately(Caller())["secret"]
    (member,) = Member.objects.all()
    member.user.is_active = False
    member.user.save()
    assert come_back(Caller(), secret).status_code == 401
    member.user.is_active = True
    member.user.save()
    member.organisation.is_private = False
    member.organisation.save()
    assert come_back(Caller(), secret).status_code == 401


def test_guessing_is_limited_by_address_and_a_right_secret_forgets_no_wrong_passwords(
    owner: Caller, settings: LazySettings
) -> None:
    settings.NEW_PRIVATE_BY_ADDRESS = 5
    secret, phone = begin_privately(Caller())["secret"], Caller()
    for n in range(ATTEMPTS_BY_ADDRESS):
        phone.post("/api/session", {"username": f"user{n}", "password": "wrong"})
    assert come_back(phone, secret).status_code == 200
    words = {"username": "Ada", "password": SIGN_IN_WORDS}
    assert Caller().post("/api/session", words).status_code == 429
    codes = [come_back(Caller(), f"guess {n}").status_code for n in range(6)]
    assert codes == [401] * 3 + [429] * 3
    assert come_back(Caller(), secret).status_code == 429


def test_work_meant_for_one_person_never_reaches_the_one_signed_in_by_now(
    owner: Caller, stranger: Caller
) -> None:
    body = {"device": "a", "cursor": None, "changes": [machine_change(label="Ada's")]}
    meant = {"X-Person": owner.member.phone_name}
    answer = stranger.post("/api/sync", body, **meant)
    assert (answer.status_code, answer.json()["code"]) == (401, "other_person")
    assert stranger.get("/api/machines").json()["rows"] == []
    assert stranger.put_photo(b"x", "0" * 64, **meant).status_code == 401
    assert owner.post("/api/sync", body, **meant).status_code == 200
    signed_out = Caller().post("/api/sync", body, **meant)
    assert (signed_out.status_code, signed_out.json()["code"]) == (401, "signed_out")
