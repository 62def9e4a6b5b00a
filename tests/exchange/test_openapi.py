"""The API's description is true: its examples work, and answers are what it says they are."""

from functools import cache
from typing import Any

import pytest
from drf_spectacular.generators import SchemaGenerator
from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from inspect_app.exchange.openapi import EXAMPLES, INSPECTION, MACHINE
from inspect_app.exchange.schemas import NAMES, schema_of
from tests.phone import Caller

HERE = "urn:description"
# In the order they are told: operation, path parameters.
STORY = (
    ("session_read", {}),
    ("sync", {}),
    ("assessment_make", {}),
    ("guide_make", {}),
    ("guides_read", {}),
    ("machines_list", {}),
    ("machine_read", {"machine_id": MACHINE}),
    ("machine_trend", {"machine_id": MACHINE}),
    ("inspections_list", {}),
    ("inspection_read", {"inspection_id": INSPECTION}),
    ("inspection_record", {"inspection_id": INSPECTION}),
    ("inspection_assessment", {"inspection_id": INSPECTION}),
    ("inspection_compare", {"inspection_id": INSPECTION, "other_id": INSPECTION}),
    ("report_issue", {"inspection_id": INSPECTION}),
    ("report_document", {}),
    ("schemas_list", {}),
)


@cache
def description() -> dict[str, Any]:
    return SchemaGenerator().get_schema(request=None, public=True)


@cache
def operations() -> dict[str, tuple[str, str, dict[str, Any]]]:
    return {
        one["operationId"]: (method, path, one)
        for path, methods in description()["paths"].items()
        for method, one in methods.items()
    }


def check(value: Any, content: dict[str, Any]) -> None:
    """Against a schema of the description, which may refer to the published ones."""
    known = [(HERE, Resource(contents=description(), specification=DRAFT202012))]
    known += [(f"/api/schemas/{name}", Resource.from_contents(schema_of(name))) for name in NAMES]
    found = dict(content["schema"])
    if found.get("$ref", "").startswith("#"):
        found = {"$ref": HERE + found["$ref"]}
    Draft202012Validator(found, registry=Registry().with_resources(known)).validate(value)


@pytest.mark.django_db
def test_the_examples_told_as_a_story_are_answered_as_described(owner: Caller) -> None:
    report = ""
    for name, parameters in STORY:
        method, path, operation = operations()[name]
        request, answer = EXAMPLES.get(name, (None, None))
        places = {**parameters, "report_id": report}
        found = owner.call(method, path.format(**places), request)
        status = "422" if name == "machine_trend" else "200"  # one walk is no trend
        assert str(found.status_code) == status, (name, found.content)
        body = found.json()
        check(body, operation["responses"][status]["content"]["application/json"])
        if name == "sync":
            assert body == answer
        if name == "report_issue":
            report = body["id"]


def test_every_example_is_of_its_schema() -> None:
    shown = 0
    for _, _, operation in operations().values():
        contents = [operation.get("requestBody", {}).get("content", {})]
        contents += [answer.get("content", {}) for answer in operation["responses"].values()]
        for content in (one["application/json"] for one in contents if "application/json" in one):
            if "example" in content:
                check(content["example"], content)
                shown += 1
    assert shown >= len(EXAMPLES)


def test_an_answer_that_is_not_as_described_is_found() -> None:
    content = operations()["sync"][2]["responses"]["200"]["content"]["application/json"]
    with pytest.raises(Exception, match="'cursor' is a required property"):
        check({"results": [], "changes": [], "more": False}, content)
