"""What the API's description says beside the views: published schemas and examples.

The examples are one small story in the order it would be told; a test tells it to the server.
"""

from typing import Any

from inspect_app.exchange.schemas import ADDRESS

_JSON = "application/json"
MACHINE = "0190a0a0-0000-7000-8000-000000000001"
INSPECTION = "0190a0a0-0000-7000-8000-000000000002"
_SEAL = "0190a0a0-0000-7000-8000-000000000003"
_WRITTEN = "2026-05-14T10:05:00Z"
_SEEN = {"checkpoint": "shaft_seal", "at": "front_left", "status": "checked", "seen": "oil_run"}
_HEADER = {
    "format": "suspension-record/1",
    "purpose": "purchase",
    "inspected_on": "2026-05-14",
    "machine": {"label": "Unit 7", "kind": "sport_side_by_side", "distance": "4250 mi"},
}
RECORD = {**_HEADER, "id": INSPECTION, "observations": [_SEEN]}
_BODIES: tuple[tuple[str, str, dict[str, Any]], ...] = (
    (
        "0190a0a0-0000-7000-8000-00000000000a",
        "machine",
        {"id": MACHINE, "label": "Unit 7", "kind": "sport_side_by_side"},
    ),
    (
        "0190a0a0-0000-7000-8000-00000000000b",
        "inspection",
        {"id": INSPECTION, "machine": MACHINE, "header": _HEADER, "recorded_at": _WRITTEN},
    ),
    (
        "0190a0a0-0000-7000-8000-00000000000c",
        "observation",
        {
            "id": _SEAL,
            "inspection": INSPECTION,
            "replaces": [],
            "recorded_at": _WRITTEN,
            "observation": _SEEN,
            "checkpoint": "shaft_seal",
            "at": "front_left",
            "part": None,
        },
    ),
)
# operation -> (request, answer); None where there is nothing to show
EXAMPLES: dict[str, tuple[Any, Any]] = {
    "session_sign_in": ({"username": "yard", "password": "a long enough password"}, None),
    "sync": (
        {
            "device": "gate tablet",
            "cursor": None,
            "changes": [{"id": one, "kind": kind, "body": body} for one, kind, body in _BODIES],
        },
        {
            "results": [
                {"id": one, "outcome": "accepted", "why": None, "position": position}
                for position, (one, _, _) in enumerate(_BODIES, start=1)
            ],
            "changes": [],
            "cursor": "3.0190a0a000007000800000000000000c",
            "more": False,
        },
    ),
    "assessment_make": (RECORD, None),
    "guide_make": (RECORD, None),
    "report_issue": ({"page_size": "letter", "time_zone": "America/Los_Angeles"}, None),
    "schemas_list": (None, {"record": f"{ADDRESS}record", "assessment": f"{ADDRESS}assessment"}),
}
REFUSED = {
    "code": "record_refused",
    "detail": "The record has 1 problem.",
    "fields": {"machine.kind": "is missing; write one of: sport_side_by_side, quad, …"},
}
# operation -> (schema of the request, of the answer)
_DOCUMENTS: dict[str, tuple[str | None, str]] = {
    "assessment_make": ("record", "assessment"),
    "guide_make": ("record", "guide"),
    "inspection_record": (None, "record"),
    "inspection_assessment": (None, "assessment"),
    "machine_trend": (None, "trend"),
    "inspection_compare": (None, "comparison"),
    "report_document": (None, "report"),
}


def describe(result: dict[str, Any], **_others: object) -> dict[str, Any]:
    """Adds both to the description that the views make (a drf-spectacular hook)."""
    for path in result["paths"].values():
        for operation in path.values():
            _describe(operation)
    return result


def _describe(operation: dict[str, Any]) -> None:
    name = operation["operationId"]
    request = operation.get("requestBody", {}).get("content", {}).get(_JSON)
    answer = operation["responses"].get("200", {}).get("content", {}).get(_JSON)
    takes, gives = _DOCUMENTS.get(name, (None, None))
    for content, schema in ((request, takes), (answer, gives)):
        if content is not None and schema is not None:
            content["schema"] = {"$ref": f"{ADDRESS}{schema}"}
    for content, example in zip((request, answer), EXAMPLES.get(name, ()), strict=False):
        if content is not None and example is not None:
            content["example"] = example
    refused = operation["responses"].get("422", {}).get("content", {}).get(_JSON)
    if refused is not None and takes == "record":
        refused["example"] = REFUSED
