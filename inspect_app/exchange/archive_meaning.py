"""What a row of an archive must hold beyond its columns' kinds, so that nothing stumbles over it.

The same shapes are asked for as of what phones send (inspections/changes.py).
"""

import hashlib
from collections.abc import Callable, Mapping
from typing import Any

from inspect_app.api_errors import Refusal
from inspect_app.exchange.archive_tables import Row, Table
from inspect_app.inspections.changes import SHA256, ChangeRefused, read_change, uuid_of
from inspect_app.inspections.models import Change
from inspect_app.reports.codes import tidy_code
from inspect_app.strict_json import loads

# A phone counts positions in numbers that are whole up to here.
LARGEST_POSITION = 2**53 - 1
Wrong = dict[str, str]


def wrong_in_row(row: Row, table: Table) -> Wrong:
    """What is wrong, by column; the row's columns are of their kinds."""
    check = _CHECKS.get(table.name)
    return check(row) if check is not None else {}


def _as_change(kind: str, body: Mapping[str, Any]) -> str | None:
    try:
        read_change({"id": body["id"], "kind": kind, "body": dict(body)})
    except ChangeRefused as refused:
        return str(refused)
    return None


def _machine(row: Row) -> Wrong:
    named = {name: row[name] for name in ("label", "kind", "identification_number") if row[name]}
    body = {"id": row["phone_id"], "assemblies": row["assemblies"], **named}
    said = _as_change(Change.Kind.MACHINE, body)
    return {} if said is None else {"assemblies": said}


def _inspection(row: Row) -> Wrong:
    body = {
        "id": row["phone_id"],
        "machine": row["machine_phone_id"],
        "header": row["header"],
        "recorded_at": row["inspected_on"],
    }
    said = _as_change(Change.Kind.INSPECTION, body)
    wrong = {} if said is None else {"header": said}
    if not isinstance(row["summary"], dict | None):
        wrong["summary"] = "is not an object {…}"
    return wrong


def _change(row: Row) -> Wrong:
    if not 0 < row["position"] <= LARGEST_POSITION:
        return {"position": f"is not from 1 to {LARGEST_POSITION}"}
    digest = hashlib.sha256(f"{row['kind']}\n{row['body']}".encode()).hexdigest()
    if digest != row["body_sha256"]:
        return {"body": "is not what its SHA-256 says"}
    if row["kind"] == Change.Kind.REPORT:
        return _told(row)
    try:
        body = loads(row["body"])
        change = read_change({"id": row["change_id"], "kind": row["kind"], "body": body})
    except (Refusal, ChangeRefused) as error:
        return {"body": str(error)}
    once = str(change.subject_id) if row["kind"] in Change.ONLY_ONCE else None
    inspection = change.inspection_id and str(change.inspection_id)
    if (row["revision_id"], row["inspection_phone_id"]) != (once, inspection):
        return {"body": "is filed under another id than its own"}
    return {}


def _told(row: Row) -> Wrong:
    """The server's own change that tells of an issued report."""
    try:
        body = loads(row["body"])
        holder = body if isinstance(body, dict) else {}
        uuid_of(holder, "id")
        inspection = uuid_of(holder, "inspection")
    except (Refusal, ChangeRefused) as error:
        return {"body": str(error)}
    is_filed = (row["revision_id"], row["inspection_phone_id"]) == (None, str(inspection))
    return {} if is_filed else {"body": "is filed under another id than its own"}


def _photo(row: Row) -> Wrong:
    is_digest = SHA256.fullmatch(row["sha256"]) is not None
    return {} if is_digest else {"sha256": "is not a SHA-256 in hexadecimal"}


def _report(row: Row) -> Wrong:
    wrong: Wrong = {}
    for column, kind in (("record", dict), ("assessment", dict), ("sign_offs", list)):
        try:
            if not isinstance(loads(row[column]), kind):
                wrong[column] = "is JSON of another kind"
        except Refusal as error:
            wrong[column] = str(error)
    if not wrong and not _tells_verdict(loads(row["assessment"])):
        wrong["assessment"] = "tells no verdict"
    if tidy_code(row["verify_code"]) != row["verify_code"]:
        wrong["verify_code"] = "is no code of ours"
    hashes = row["photo_hashes"]
    if not isinstance(hashes, list) or not all(isinstance(one, str) for one in hashes):
        wrong["photo_hashes"] = "is not a list of texts"
    return wrong


def _tells_verdict(assessment: dict[str, Any]) -> bool:
    verdict = assessment.get("verdict")
    return isinstance(verdict, dict) and isinstance(verdict.get("words"), str)


_CHECKS: dict[str, Callable[[Row], Wrong]] = {
    "machines": _machine,
    "inspections": _inspection,
    "changes": _change,
    "photos": _photo,
    "reports": _report,
}
