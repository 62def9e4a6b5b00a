"""Programs with tokens: what each scope opens, and everything that shuts one out."""

import json
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from inspect_app.people.models import ApiToken
from tests.phone import Caller, inspection_change, machine_change

pytestmark = pytest.mark.django_db


class Program:
    """Sends its token and nothing else: no cookie, no CSRF token."""

    def __init__(self, secret: str) -> None:
        self.client = Client(enforce_csrf_checks=True)
        self.headers = {"Authorization": f"Bearer {secret}"}

    def get(self, path: str) -> Any:
        return self.client.get(path, headers=self.headers)

    def post(self, path: str, body: Any) -> Any:
        return self.client.post(
            path, json.dumps(body), content_type="application/json", headers=self.headers
        )

    def sync(self, *changes: dict[str, Any]) -> Any:
        return self.post("/api/sync", {"device": "p", "cursor": None, "changes": list(changes)})


def made(caller: Caller, *scopes: str, days: int = 30) -> dict[str, Any]:
    body = {"name": "The yard's board", "scopes": list(scopes), "days": days}
    answer = caller.post("/api/tokens", body)
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_a_token_is_shown_once_and_kept_as_a_digest_only(owner: Caller) -> None:
    token = made(owner, "read")
    assert token["token"].startswith(token["start"])
    assert len(token["token"]) > 40
    row = ApiToken.objects.get()
    assert token["token"] not in str(vars(row))
    listed = owner.get("/api/tokens").json()
    assert [one["name"] for one in listed] == ["The yard's board"]
    assert token["token"] not in json.dumps(listed)
    assert "token" not in listed[0]


def test_each_scope_opens_its_own_and_nothing_else(owner: Caller) -> None:
    owner.sync(machine_change())
    programs = {
        scope: Program(made(owner, scope)["token"]) for scope in ("read", "write", "export")
    }
    opened = {
        scope: (
            one.get("/api/machines").status_code,
            one.sync(machine_change()).status_code,
            one.get("/api/findings.csv").status_code,
            one.get("/api/archive").status_code,
            one.client.post("/api/archive", b"", content_type="application/zip",
                            headers=one.headers).status_code,
        )
        for scope, one in programs.items()
    }  # fmt: skip
    assert opened == {
        "read": (200, 403, 403, 403, 403),
        "write": (403, 200, 403, 403, 403),
        "export": (403, 403, 200, 200, 403),
    }
    both = Program(made(owner, "export", "write")["token"])
    empty = both.client.post("/api/archive", b"x", content_type="application/zip",
                             headers=both.headers)  # fmt: skip
    assert empty.status_code == 422  # let in; what it sent is no archive


def test_a_token_acts_for_its_member_and_sees_their_organisation_only(
    owner: Caller, stranger: Caller
) -> None:
    walk = inspection_change()
    stranger.sync(walk)
    program = Program(made(owner, "read", "write")["token"])
    assert (
        program.sync(machine_change(label="from the board")).json()["results"][0]["position"] == 1
    )
    assert program.get("/api/inspections").json()["rows"] == []
    assert program.get(f"/api/inspections/{walk['body']['id']}").status_code == 404
    assert owner.sync()["changes"][0]["by"] == "Ada"


def test_one_query_finds_the_member_and_the_last_use_is_noted_seldom(
    owner: Caller, django_assert_num_queries
) -> None:
    program = Program(made(owner, "read")["token"])
    with django_assert_num_queries(3):  # the token with its member, the use, the machines
        program.get("/api/machines")
    first = ApiToken.objects.get().used_at
    assert first is not None
    with django_assert_num_queries(2):
        program.get("/api/machines")
    ApiToken.objects.update(used_at=timezone.now() - timedelta(minutes=6))
    program.get("/api/machines")
    assert ApiToken.objects.get().used_at > first
    assert owner.get("/api/tokens").json()[0]["used_at"] is not None


@pytest.mark.parametrize("why", ["wrong", "revoked", "expired", "left", "deleted"])
def test_what_shuts_a_token_out_does_so_at_once(why: str, owner: Caller) -> None:
    token = made(owner, "read")
    program = Program(token["token"])
    assert program.get("/api/machines").status_code == 200
    if why == "wrong":
        program = Program(token["token"][:-1])
    elif why == "revoked":
        assert owner.call("delete", f"/api/tokens/{token['id']}").status_code == 204
        assert owner.get("/api/tokens").json() == []
    elif why == "expired":
        ApiToken.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    elif why == "left":
        owner.member.user.is_active = False
        owner.member.user.save()
    else:
        ApiToken.objects.all().delete()
    answer = program.get("/api/machines")
    assert (answer.status_code, answer.json()["code"]) == (401, "signed_out")


def test_a_member_made_a_reader_takes_the_tokens_with_them(owner: Caller) -> None:
    program = Program(made(owner, "read", "write", "export")["token"])
    owner.member.role = "reader"
    owner.member.save()
    assert program.get("/api/machines").status_code == 200
    assert program.sync(machine_change()).status_code == 403
    assert program.get("/api/archive").status_code == 403


def test_a_token_neither_makes_tokens_nor_becomes_a_session(owner: Caller) -> None:
    program = Program(made(owner, "read", "write", "export")["token"])
    body = {"name": "more", "scopes": ["read"], "days": 1}
    assert program.get("/api/tokens").status_code == 401
    assert program.post("/api/tokens", body).status_code in (401, 403)
    assert program.get("/api/session").json()["person"] is None
    assert "sessionid" not in program.client.cookies
    assert ApiToken.objects.count() == 1


def test_a_wrong_token_is_not_passed_over_for_a_session(owner: Caller) -> None:
    assert owner.get("/api/machines", Authorization="Bearer off_wrong").status_code == 401


def test_only_who_manages_makes_and_takes_back(
    owner: Caller, colleague: Caller, stranger: Caller
) -> None:
    token = made(owner, "read")
    body = {"name": "x", "scopes": ["read"], "days": 1}
    assert colleague.post("/api/tokens", body).status_code == 403
    assert colleague.get("/api/tokens").status_code == 403
    for caller, status in ((colleague, 403), (stranger, 404)):
        assert caller.call("delete", f"/api/tokens/{token['id']}").status_code == status
    assert Program(token["token"]).get("/api/machines").status_code == 200


def test_who_keeps_the_server_makes_one_at_the_command_line(owner: Caller) -> None:
    out = StringIO()
    call_command("api_token", "Ada", name="board", scopes="read,export", stdout=out)
    program = Program(out.getvalue().strip())
    assert program.get("/api/archive").status_code == 200
    for username, days, said in (("Nobody", 1, "'Nobody'"), ("Ada", 0, "from 1 to 366")):
        with pytest.raises(CommandError, match=said):
            call_command("api_token", username, name="board", days=days)


def test_all_that_is_wrong_with_a_new_one_is_said_at_once(owner: Caller) -> None:
    for body in ({}, {"name": " ", "scopes": ["everything"], "days": 400}, {"days": True}, []):
        answer = owner.post("/api/tokens", body)
        assert answer.status_code == 400
        assert set(answer.json()["fields"]) == {"name", "scopes", "days"}
