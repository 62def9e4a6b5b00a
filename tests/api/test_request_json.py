"""A body is JSON as the contract means it, or refused in one sentence (cases N09, N10, B19)."""

import json

import pytest
from django.conf import LazySettings

from inspect_app.api_errors import Refusal
from inspect_app.inspections.models import Change
from inspect_app.strict_json import DEEPEST_NESTING, loads
from tests.phone import Caller, inspection_change, observation_change


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('{"value": NaN, "other": Infinity}', "NaN is not a number"),
        ('{"value": -Infinity}', "-Infinity is not a number"),
        ('{"value": 1e400}', "1e400 is too large"),
        ('{"value": -1e400}', "-1e400 is too large"),
        ('{"a": 1, "b": {"c": 2, "c": 3}}', "'c' is there twice"),
        ('{"note": "abc\\u0000def"}', "NUL"),
        ('{"no\\u0000te": 1}', "NUL"),
        ('{"note": "\\ud800"}', "half a character"),
        ('{"note": "\\udc00 x"}', "half a character"),
        ("[" * 33 + "]" * 33, "too deep"),
        ("[" * 200_000, "too deep"),
        ('{"a": ' + "9" * 5000 + "}", "too many digits"),
        ('{"a": 1', "not JSON"),
        ("", "not JSON"),
        ("{'a': 1}", "not JSON"),
        ('{"a": 01}', "not JSON"),
        ('{"note": "\x00"}', "not JSON"),
        ('{"a": 1} x', "not JSON"),
    ],
)
def test_what_is_not_ours_is_one_sentence(text: str, says: str) -> None:
    with pytest.raises(Refusal) as refused:
        loads(text)
    assert says in refused.value.detail
    assert refused.value.detail.endswith(".")
    assert len(refused.value.detail) < 200


@pytest.mark.parametrize(
    "value",
    [
        {"a": 0.1, "b": 1e308, "c": -0.0, "d": "12 3/8 in", "e": [None, True]},
        {"note": "前輪 ✓ 🛑 ٣٫٥"},
        "\U0001f6d1",
    ],
)
def test_what_is_ours_comes_through_as_it_is(value: object) -> None:
    assert loads(json.dumps(value)) == value
    assert loads(json.dumps(value, ensure_ascii=False)) == value


def test_the_deepest_nesting_itself_passes() -> None:
    text = "[" * DEEPEST_NESTING + "]" * DEEPEST_NESTING
    assert json.dumps(loads(text)).replace(" ", "") == text


# /api/session/private reads no body.
POSTS = ["/api/sync", "/api/session", "/api/guide", "/api/assess", "/api/measure"]
BAD_BODIES = [
    '{"value": NaN}',
    '{"device": "a", "cursor": 1e400, "changes": []}',
    '{"username": "abc\\u0000def", "password": "x"}',
    "\ud800".encode("utf-8", "surrogatepass"),
    b"\xff\xfe{}",
]


@pytest.mark.django_db
@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize("body", BAD_BODIES)
def test_every_post_refuses_a_bad_body_with_400(owner: Caller, path: str, body: object) -> None:
    answer = owner.post(path, body)
    assert answer.status_code == 400, answer.content
    assert set(answer.json()) == {"code", "detail", "fields"}
    assert Change.objects.count() == 0


@pytest.mark.django_db
def test_nothing_of_a_bad_number_is_stored_and_lists_still_work(owner: Caller) -> None:
    walk = inspection_change()
    text = json.dumps({"device": "a", "cursor": None, "changes": [walk]})
    answer = owner.post("/api/sync", text.replace('"2026-05-14"', "1e400"))
    assert answer.status_code == 400
    assert owner.get("/api/inspections").json()["rows"] == []
    assert owner.get("/api/machines").json()["rows"] == []


@pytest.mark.django_db
def test_a_body_too_large_is_413_in_json_before_it_is_read(
    owner: Caller, settings: LazySettings
) -> None:
    settings.JSON_BODY_MAX_BYTES = 1000
    walk = inspection_change()
    big = [observation_change(walk["body"]["id"], at=f"p{n}") for n in range(20)]
    body = {"device": "a", "cursor": None, "changes": big}
    answer = owner.post("/api/sync", body)
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")
    assert Change.objects.count() == 0


@pytest.mark.django_db
def test_another_content_type_is_415_in_json(owner: Caller) -> None:
    answer = owner.call(
        "post", "/api/sync", "a=b", Content_Type="application/x-www-form-urlencoded"
    )
    assert answer.status_code == 415
    assert set(answer.json()) == {"code", "detail", "fields"}


@pytest.mark.django_db
@pytest.mark.parametrize("mark", ["%00", "x", "bm9wZQ", "WyJhIiwxXQ%3D%3D", "%F0%9F"])
def test_a_page_mark_that_is_not_ours_is_no_fault(owner: Caller, mark: str) -> None:
    for path in ("/api/machines", "/api/inspections"):
        assert owner.get(f"{path}?after={mark}").status_code in {200, 400}
        assert owner.get(f"{path}?search=%00").status_code == 200
