"""Every route under /api/ meets a stranger and someone signed out (case B01).

A route that is not in the table fails the test: nobody adds one without saying who may see it.
"""

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

from inspect_app.hooks.models import Hook
from inspect_app.people.tokens import make_token
from inspect_app.reports.models import Report
from tests.phone import Caller, inspection_change, machine_change, observation_change, photo_change

pytestmark = pytest.mark.django_db
PHOTO = (Path(__file__).parent.parent / "photos" / "cases" / "exif_o1.jpg").read_bytes()
SHA256 = hashlib.sha256(PHOTO).hexdigest()
REPORT_ID = "0190a0a0-0000-7000-8000-000000000001"

# route -> (method, who may call it signed out, what a stranger gets with the owner's ids)
OPEN, MEMBERS = True, False
ROUTES = {
    "api/session": ("get", OPEN, 200),
    "api/session/private": ("post", OPEN, 200),
    "api/tokens": ("get", MEMBERS, 200),
    "api/tokens/<int:token_id>": ("delete", MEMBERS, 404),
    "api/hooks": ("get", MEMBERS, 200),
    "api/hooks/<int:hook_id>": ("delete", MEMBERS, 404),
    "api/guides": ("get", OPEN, 200),
    "api/schema": ("get", OPEN, 200),
    "api/guide": ("post", MEMBERS, 422),
    "api/assess": ("post", MEMBERS, 422),
    "api/measure": ("post", MEMBERS, 422),
    "api/sync": ("post", MEMBERS, 200),
    "api/machines": ("get", MEMBERS, 200),
    "api/machines/<uuid:machine_id>": ("get", MEMBERS, 404),
    "api/machines/<uuid:machine_id>/trend": ("get", MEMBERS, 404),
    "api/photos/<sha256:sha256>": ("put", MEMBERS, 400),
    "api/photos/<sha256:sha256>/display": ("get", MEMBERS, 404),
    "api/photos/<sha256:sha256>/thumbnail": ("get", MEMBERS, 404),
    "api/inspections": ("get", MEMBERS, 200),
    "api/inspections/<uuid:inspection_id>": ("get", MEMBERS, 404),
    "api/inspections/<uuid:inspection_id>/record": ("get", MEMBERS, 404),
    "api/inspections/<uuid:inspection_id>/assessment": ("get", MEMBERS, 404),
    "api/inspections/<uuid:inspection_id>/compare/<uuid:other_id>": ("get", MEMBERS, 404),
    "api/inspections/<uuid:inspection_id>/reports": ("post", MEMBERS, 404),
    "api/reports/<uuid:report_id>.pdf": ("get", MEMBERS, 404),
    "api/reports/<uuid:report_id>.json": ("get", MEMBERS, 404),
    "api/archive": ("get", MEMBERS, 200),
    "api/findings.csv": ("get", MEMBERS, 200),
    "api/inspections/<uuid:inspection_id>/findings.csv": ("get", MEMBERS, 404),
    "api/schemas": ("get", OPEN, 200),
    "api/schemas/<str:name>": ("get", OPEN, 200),
}


def routes(patterns: list, prefix: str = "") -> Iterator[str]:
    for pattern in patterns:
        route = prefix + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from routes(pattern.url_patterns, route)
        elif isinstance(pattern, URLPattern):
            yield route


def api_routes() -> list[str]:
    return [route for route in routes(get_resolver().url_patterns) if route.startswith("api/")]


def test_every_route_is_in_the_table() -> None:
    assert set(api_routes()) == set(ROUTES)


@pytest.fixture
def owned(owner: Caller) -> dict[str, str]:
    """Ids of everything the owner has."""
    machine = machine_change(label="Ada's own machine")
    walk = inspection_change(machine=machine["body"]["id"])
    walk["body"]["header"]["machine"]["label"] = "Ada's own machine"
    seal = observation_change(walk["body"]["id"])
    owner.sync(machine, walk, seal, photo_change(walk["body"]["id"], SHA256))
    assert owner.put_photo(PHOTO, SHA256).status_code == 200
    Report.objects.create(
        organisation=owner.member.organisation,
        public_id=REPORT_ID,
        inspection_phone_id=walk["body"]["id"],
        number="2026-00001",
        revision=1,
        photo_hashes=[],
        pdf="1/none.pdf",
        verify_code="AAAA-BBBB-CCCC",
        issued_at="2026-05-14T12:00:00Z",
        issued_by=owner.member,
    )
    return {
        "machine_id": machine["body"]["id"],
        "inspection_id": walk["body"]["id"],
        "other_id": walk["body"]["id"],
        "sha256": SHA256,
        "report_id": REPORT_ID,
        "name": "record",
        "hook_id": str(
            Hook.objects.create(
                organisation=owner.member.organisation,
                url="https://ada.example.org/Ada",
                events=[],
                secret="x",
            ).pk
        ),
        "token_id": str(make_token(owner.member, name="Ada's", scopes=["read"], days=1)[0].pk),
    }


def path_of(route: str, owned: dict[str, str]) -> str:
    for converter, name in (
        ("uuid", "machine_id"),
        ("uuid", "inspection_id"),
        ("uuid", "other_id"),
        ("uuid", "report_id"),
        ("sha256", "sha256"),
        ("str", "name"),
        ("int", "token_id"),
        ("int", "hook_id"),
    ):
        route = route.replace(f"<{converter}:{name}>", owned[name])
    assert "<" not in route
    return "/" + route


def call(caller: Caller, route: str, owned: dict[str, str]):
    body = {"device": "s", "cursor": None, "changes": []} if route == "api/sync" else {}
    return caller.call(ROUTES[route][0], path_of(route, owned), body)


@pytest.mark.parametrize("route", ROUTES)
def test_a_stranger_meets_nothing_of_the_owners(
    route: str, owned: dict[str, str], stranger: Caller
) -> None:
    answer = call(stranger, route, owned)
    assert answer.status_code == ROUTES[route][2], answer.content
    if not answer.streaming:
        assert b"Ada" not in answer.content
        assert owned["inspection_id"].encode() not in answer.content


@pytest.mark.parametrize("route", ROUTES)
def test_someone_signed_out_gets_401_where_members_work(
    route: str, owned: dict[str, str], signed_out: Caller
) -> None:
    answer = call(signed_out, route, owned)
    if ROUTES[route][1] is OPEN:
        assert answer.status_code == 200
    else:
        assert answer.status_code == 401
        assert json.loads(answer.content)["code"] == "signed_out"
        assert b"Ada" not in answer.content


@pytest.mark.parametrize("route", ROUTES)
def test_no_answer_may_be_kept_by_a_cache(route: str, owned: dict[str, str], owner: Caller) -> None:
    # B16: what one person saw is not there for the next. The guides hold nothing of anybody.
    answer = call(owner, route, owned)
    wanted = "no-cache" if route == "api/guides" else "no-store"
    assert wanted in answer.headers["Cache-Control"]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_staff_without_an_organisation_sees_no_rows(db: None, owned: dict[str, str]) -> None:
    from django.contrib.auth.models import User

    class Staff:
        user = User.objects.create_superuser("root", password="x")

    answer = call(Caller(Staff), "api/inspections", owned)
    assert answer.status_code == 403
