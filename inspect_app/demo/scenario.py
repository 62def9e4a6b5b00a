"""Loads the invented scenario the way a phone would: through sync, photo intake and reports."""

import hashlib
import json
import uuid
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from inspect_app.inspections.selectors import inspection_of
from inspect_app.inspections.services import receive_changes
from inspect_app.people.models import Member, Organisation
from inspect_app.people.services import add_member, add_organisation
from inspect_app.photos.services import keep_photo
from inspect_app.reports.pdf.contents import PHOTO_NAME
from inspect_app.reports.services import issue_report

DEVICE = "demo scenario"
CHANGES_AT_ONCE = 75
Json = dict[str, Any]


class ScenarioRefused(Exception):  # noqa: N818 - a sentence for whoever edits the scenario
    """What of the scenario the program itself refuses."""


def load_scenario(path: Path, *, site: str) -> None:
    """Everything in the file; the same ids are made each time, so a second run adds nothing.

    site: where the server will answer: its reports say so.
    """
    scenario: Json = json.loads(path.read_text(encoding="utf-8"))
    photos = _photos_in((path.parent / scenario["photos_folder"]).resolve())
    for organisation in scenario["organisations"]:
        _load_organisation(organisation, folder=path.parent, photos=photos, site=site)


def sign_ins(path: Path) -> list[tuple[str, str, str]]:
    """(organisation, username, password) of the first person of each organisation."""
    scenario: Json = json.loads(path.read_text(encoding="utf-8"))
    return [
        (one["name"], one["people"][0]["username"], one["people"][0]["password"])
        for one in scenario["organisations"]
    ]


def _load_organisation(given: Json, *, folder: Path, photos: dict[str, Path], site: str) -> None:
    members = _members(given)
    _send(members[0], [_change("machine", machine) for machine in given["machines"]])
    for inspection in given["inspections"]:
        record: Json = json.loads((folder / inspection["record"]).read_text(encoding="utf-8"))
        member = _inspector(members, record)
        _load_inspection(inspection, record, member=member, photos=photos, site=site)


def _members(given: Json) -> list[Member]:
    organisation = Organisation.objects.filter(name=given["name"]).first()
    if organisation is None:
        organisation = add_organisation(name=given["name"])
    known = {
        member.user.username: member
        for member in Member.objects.filter(organisation=organisation).select_related(
            "user", "organisation"
        )
    }
    return [
        known.get(person["username"])
        or add_member(
            organisation=organisation,
            username=person["username"],
            name=person["name"],
            role=person["role"],
            password=person["password"],
        )
        for person in given["people"]
    ]


def _inspector(members: list[Member], record: Json) -> Member:
    name = record.get("inspector", {}).get("name")
    return next((member for member in members if member.name == name), members[0])


def _load_inspection(
    given: Json, record: Json, *, member: Member, photos: dict[str, Path], site: str
) -> None:
    _send(member, list(_changes_of(record, machine=given["machine"], photos=photos)))
    for sha256 in _hashes(record):
        if sha256 in photos:
            original = photos[sha256].read_bytes()
            keep_photo(
                organisation=member.organisation,
                sha256=sha256,
                original=original,
                content_digest=None,
            )
    if given["closed"]:
        _send(member, [_closing(record, photos=photos)])
    if given["report"]:
        inspection = inspection_of(member.organisation, uuid.UUID(record["id"]))
        if inspection is None:
            raise ScenarioRefused(f"{record['id']} was sent and is not there.")
        inspection.organisation = member.organisation
        issue_report(inspection, member=member, zone=ZoneInfo("UTC"), site=site)


def _changes_of(record: Json, *, machine: str, photos: dict[str, Path]) -> Iterator[Json]:
    moment, _ = _hours(record)
    header = {key: value for key, value in record.items() if key not in ("id", "observations")}
    body = {"id": record["id"], "machine": machine, "header": header, "recorded_at": moment}
    yield _change("inspection", body)
    for observation in record.get("observations", []):
        place = {key: observation.get(key) for key in ("checkpoint", "at", "part")}
        seen = {key: value for key, value in observation.items() if key != "id"}
        yield _change(
            "observation",
            {
                "id": _observation_id(record, observation),
                "inspection": record["id"],
                "replaces": [],
                "recorded_at": observation.get("observed_at", moment),
                "observation": seen,
                **place,
            },
        )
        for name in observation.get("photos", []):
            sha256 = name.removeprefix(PHOTO_NAME)
            if sha256 in photos:
                use = {
                    "id": _made_id(record["id"], "photo", sha256, *map(str, place.values())),
                    "inspection": record["id"],
                    "sha256": sha256,
                    "taken_at": observation.get("observed_at", moment),
                    "source": "camera",
                    "name": photos[sha256].name,
                }
                yield _change("photo", use | place)


def _hours(record: Json) -> tuple[str, str]:
    """When it was begun and closed: around what says its own time, else the hour from ten."""
    seen = [one["observed_at"] for one in record.get("observations", []) if "observed_at" in one]
    day = record["inspected_on"]
    first = datetime.fromisoformat(min(seen, default=f"{day}T10:05:00Z"))
    last = datetime.fromisoformat(max(seen, default=f"{day}T10:55:00Z"))
    begun, closed = first - timedelta(minutes=5), last + timedelta(minutes=5)
    return begun.isoformat().replace("+00:00", "Z"), closed.isoformat().replace("+00:00", "Z")


def _closing(record: Json, *, photos: dict[str, Path]) -> Json:
    body = {
        "id": _made_id(record["id"], "close"),
        "inspection": record["id"],
        "observations": [_observation_id(record, one) for one in record.get("observations", [])],
        "photos": [sha256 for sha256 in _hashes(record) if sha256 in photos],
        "closed_at": _hours(record)[1],
    }
    return _change("close", body)


def _send(member: Member, changes: list[Json]) -> None:
    for start in range(0, len(changes), CHANGES_AT_ONCE):
        sent = changes[start : start + CHANGES_AT_ONCE]
        for result in receive_changes(member=member, device=DEVICE, sent=sent):
            if result.outcome == "refused":
                raise ScenarioRefused(f"{result.id}: {result.why}")


def _change(kind: str, body: Json) -> Json:
    return {"id": _made_id("change", kind, body["id"]), "kind": kind, "body": body}


def _observation_id(record: Json, observation: Json) -> str:
    place = (str(observation.get(key)) for key in ("checkpoint", "at", "part"))
    return str(observation.get("id") or _made_id(record["id"], *place))


def _made_id(*parts: str) -> str:
    """The same id for the same parts, each time."""
    return str(uuid.uuid5(uuid.NAMESPACE_OID, "/".join(parts)))


def _hashes(record: Json) -> list[str]:
    named = (name for one in record.get("observations", []) for name in one.get("photos", []))
    return list(dict.fromkeys(name.removeprefix(PHOTO_NAME) for name in named))


def _photos_in(folder: Path) -> dict[str, Path]:
    if not folder.is_dir():
        return {}
    return {
        hashlib.sha256(path.read_bytes()).hexdigest(): path
        for path in sorted(folder.iterdir())
        if path.suffix in {".jpg", ".jpeg", ".png"}
    }
