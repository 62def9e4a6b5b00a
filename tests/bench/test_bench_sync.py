"""Sixty observations, and sixty photos, in one sync beside a bare view that keeps one row.

Both are called as a phone calls them, session and middleware included, on the same database; each
run is taken back afterwards, so that the table stays as it was.
"""

import json
from collections.abc import Callable
from typing import Any

import pytest
from django.db import transaction
from django.urls import include, path
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import ModelSerializer
from rest_framework.views import APIView

from inspect_app.inspections.models import Change
from tests.bench.conftest import Beside
from tests.phone import Caller, inspection_change, observation_change, photo_change

pytestmark = [pytest.mark.django_db, pytest.mark.urls(__name__)]
MANY = 60


class BareRow(ModelSerializer[Change]):
    class Meta:
        model = Change
        fields = ("position", "change_id", "kind", "inspection_phone_id", "body", "body_sha256")


class BareView(APIView):
    """What a beginner's view does with one observation: check it, keep it, answer it."""

    def post(self, request: Request) -> Response:
        row = BareRow(data=request.data)
        row.is_valid(raise_exception=True)
        member = request.user.member  # type: ignore[union-attr]
        row.save(
            organisation=member.organisation, author=member, device="a", received_at=timezone.now()
        )
        return Response(row.data, status=201)


urlpatterns = [path("api/bare", BareView.as_view()), path("", include("inspect_app.urls"))]


def called(caller: Caller, where: str, body: Any) -> Callable[[], None]:
    """One call through session, middleware and view; what it wrote is taken back."""
    sent, headers = json.dumps(body), {"X-CSRFToken": caller.token()}

    def call() -> None:
        with transaction.atomic():
            answer = caller.call("post", where, sent, **headers)
            assert answer.status_code in (200, 201), answer.content
            transaction.set_rollback(True)

    return call


def bare_call(caller: Caller, inspection: str) -> Callable[[], None]:
    row = {
        "position": 1_000_000,
        "change_id": inspection,
        "kind": "observation",
        "inspection_phone_id": inspection,
        "body": str(observation_change(inspection)["body"]),
        "body_sha256": "0" * 64,
    }
    return called(caller, "/api/bare", row)


def batch_of(kind: str, inspection: str) -> list[dict[str, Any]]:
    if kind == "photos":
        return [photo_change(inspection, f"{n:064x}", at=f"p{n}") for n in range(MANY)]
    return [observation_change(inspection, at=f"p{n}") for n in range(MANY)]


@pytest.mark.parametrize("kind", ["observations", "photos"])
def test_sixty_changes_cost_at_most_three_bare_rows(
    kind: str, owner: Caller, beside: Beside
) -> None:
    walk = inspection_change()
    owner.sync(walk)
    inspection = walk["body"]["id"]
    body = {"device": "a", "cursor": None, "changes": batch_of(kind, inspection)}
    sync = called(owner, "/api/sync", body)
    beside(sync, bare_call(owner, inspection), goal=3, rounds=15)


def test_a_batch_sent_again_costs_at_most_two_and_a_half_bare_rows(
    owner: Caller, beside: Beside
) -> None:
    # No write, one read (tests/sync). What is left is the reading of sixty bodies and their
    # hashes, which tell whether the same ids came with the same words: 0.8 of the first time.
    walk = inspection_change()
    owner.sync(walk)
    inspection = walk["body"]["id"]
    known = batch_of("observations", inspection)
    owner.sync(*known, cursor=0)
    body = {"device": "a", "cursor": 1 + MANY, "changes": known}
    beside(called(owner, "/api/sync", body), bare_call(owner, inspection), goal=2.5, rounds=15)
