"""Schemas and documents by URL and on the command line."""

import json
from io import StringIO

import pytest
from django.core.management import call_command
from jsonschema import Draft202012Validator

from inspect_app.exchange.schemas import NAMES, schema_of
from tests.phone import Caller, inspection_change, machine_change, observation_change

pytestmark = pytest.mark.django_db


def test_anybody_reads_the_schemas_without_a_query(
    signed_out: Caller, django_assert_num_queries
) -> None:
    with django_assert_num_queries(0):
        listed = signed_out.get("/api/schemas").json()
        answers = {name: signed_out.get(path) for name, path in listed.items()}
    assert set(answers) == set(NAMES)
    for name, answer in answers.items():
        assert answer["Content-Type"] == "application/schema+json"
        assert json.loads(answer.content) == schema_of(name)


def test_an_unknown_schema_is_a_refusal_that_names_those_there_are(signed_out: Caller) -> None:
    answer = signed_out.get("/api/schemas/receipt")
    assert answer.status_code == 404
    assert "record" in answer.json()["detail"]


def test_the_command_prints_the_same() -> None:
    out = StringIO()
    call_command("schema", "assessment", stdout=out)
    assert json.loads(out.getvalue()) == schema_of("assessment")
    out = StringIO()
    call_command("schema", stdout=out)
    assert out.getvalue().split() == list(NAMES)


def test_an_issued_report_is_one_document_of_its_schema(
    owner: Caller, reader: Caller, stranger: Caller, django_assert_num_queries
) -> None:
    machine = machine_change()
    walk = inspection_change(machine=machine["body"]["id"])
    seal = observation_change(walk["body"]["id"], seen="dripping")
    owner.sync(machine, walk, seal)
    issued = owner.post(f"/api/inspections/{walk['body']['id']}/reports").json()
    path = f"/api/reports/{issued['id']}.json"
    with django_assert_num_queries(3):  # session, member, report
        document = reader.get(path).json()
    Draft202012Validator(schema_of("report")).validate(document)
    assert (document["number"], document["pdf_sha256"]) == (issued["number"], issued["sha256"])
    assert document["record"]["observations"][0]["seen"] == "dripping"
    assert document["assessment"]["record"] == walk["body"]["id"]
    assert document["issued_by"] == "Ada"
    assert stranger.get(path).status_code == 404
