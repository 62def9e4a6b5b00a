"""A phone in the tests: its session, and changes as it makes them."""

import json
import time
import uuid
from typing import Any

from django.test import Client


class Caller:
    """A browser with its session: asks for its CSRF token as the front end does."""

    def __init__(self, member: Any = None, **defaults: Any) -> None:
        self.member = member
        self.client = Client(enforce_csrf_checks=True, raise_request_exception=False, **defaults)
        if member is not None:
            self.client.force_login(member.user)

    def call(self, method: str, path: str, body: Any = None, **headers: str) -> Any:
        """The answer; a body that is neither bytes nor text goes as JSON."""
        if method not in {"get", "head"} and "X-CSRFToken" not in headers:
            headers["X-CSRFToken"] = self.token()
        content_type = headers.pop("Content_Type", "application/json")
        data = body if isinstance(body, bytes | str) else json.dumps(body)
        if body is None:
            data = ""
        return self.client.generic(
            method.upper(), path, data, content_type=content_type, headers=headers
        )

    def token(self) -> str:
        return str(self.client.get("/api/session").json()["csrf"])

    def get(self, path: str, **headers: str) -> Any:
        return self.client.get(path, headers=headers)

    def post(self, path: str, body: Any = None, **headers: str) -> Any:
        return self.call("post", path, {} if body is None else body, **headers)

    def sync(self, *changes: dict[str, Any], cursor: object = None, device: str = "a") -> Any:
        """The answer of one sync, which must succeed."""
        body = {"device": device, "cursor": cursor, "changes": list(changes)}
        answer = self.post("/api/sync", body)
        assert answer.status_code == 200, answer.content
        return answer.json()

    def put_photo(self, original: bytes, sha256: str, **headers: str) -> Any:
        return self.call(
            "put",
            f"/api/photos/{sha256}",
            original,
            Content_Type="application/octet-stream",
            **headers,
        )


def send_record(
    caller: Caller, record: dict[str, Any], *, machine: str | None = None, close: bool = True
) -> str:
    """A record as a phone sends it, in batches, closed an hour after it was made; its new id."""
    header = {key: value for key, value in record.items() if key not in ("id", "observations")}
    moment = f"{record['inspected_on']}T10:00:00Z"
    walk = change("inspection", machine=machine, header=header, recorded_at=moment)
    inspection = str(walk["body"]["id"])
    seen = [
        change(
            "observation",
            inspection=inspection,
            replaces=[],
            recorded_at=moment,
            observation={key: one[key] for key in one if key not in ("id", "photos")},
            **{key: one.get(key) for key in ("checkpoint", "at", "part")},
        )
        for one in record["observations"]
    ]
    changes = [walk, *seen]
    if close:
        changes.append(close_change(inspection, at=f"{record['inspected_on']}T11:00:00Z"))
    for start in range(0, len(changes), 60):
        caller.sync(*changes[start : start + 60])
    return inspection


def uuid7() -> str:
    """A UUIDv7 as the phone makes it: milliseconds first, so that later ones sort later."""
    uuid7.last = max(uuid7.last + 1, time.time_ns() // 1_000_000)  # type: ignore[attr-defined]
    value = (uuid7.last << 80) | (uuid.uuid4().int & ((1 << 80) - 1))  # type: ignore[attr-defined]
    value = (value & ~(0xF << 76)) | (0x7 << 76)
    value = (value & ~(0x3 << 62)) | (0x2 << 62)
    return str(uuid.UUID(int=value))


uuid7.last = 0  # type: ignore[attr-defined]


def change(what: str, /, **body: Any) -> dict[str, Any]:
    body.setdefault("id", uuid7())
    return {"id": uuid7(), "kind": what, "body": body}


def machine_change(**fields: Any) -> dict[str, Any]:
    usual = {
        "label": "Unit 7",
        "kind": "sport_side_by_side",
        "identification_number": "",
        "assemblies": [],
    }
    return change("machine", **(usual | fields))


def inspection_change(**fields: Any) -> dict[str, Any]:
    header = {
        "format": "suspension-record/1",
        "purpose": "intake",
        "inspected_on": "2026-05-14",
        "machine": {"label": "Unit 7", "kind": "sport_side_by_side"},
    }
    usual = {"machine": None, "header": header, "recorded_at": "2026-05-14T10:00:00Z"}
    return change("inspection", **(usual | fields))


def observation_change(
    inspection: str,
    *,
    seen: str | None = "dry",
    at: str | None = "front_left",
    checkpoint: str = "shaft_seal",
    replaces: tuple[str, ...] = (),
    **fields: Any,
) -> dict[str, Any]:
    place: dict[str, Any] = {"checkpoint": checkpoint} | ({"at": at} if at else {})
    observation = seen and {**place, "status": "checked", "seen": seen}
    usual = {
        "inspection": inspection,
        "replaces": list(replaces),
        "recorded_at": "2026-05-14T10:05:00Z",
        "observation": observation,
        "checkpoint": checkpoint,
        "at": at,
        "part": None,
    }
    return change("observation", **(usual | fields))


def photo_change(inspection: str, sha256: str, **fields: Any) -> dict[str, Any]:
    usual = {
        "inspection": inspection,
        "sha256": sha256,
        "checkpoint": "shaft_seal",
        "at": "front_left",
        "part": None,
        "taken_at": "2026-05-14T10:06:00Z",
        "source": "camera",
        "name": "image.jpg",
    }
    return change("photo", **(usual | fields))


def photo_marks_change(
    inspection: str, sha256: str, *marks: dict[str, Any], **fields: Any
) -> dict[str, Any]:
    usual = {
        "inspection": inspection,
        "sha256": sha256,
        "checkpoint": "shaft_seal",
        "at": "front_left",
        "part": None,
        "replaces": [],
        "recorded_at": "2026-05-14T10:07:00Z",
        "marks": list(marks),
    }
    return change("photo_marks", **(usual | fields))


def close_change(
    inspection: str,
    *,
    observations: tuple[str, ...] = (),
    photos: tuple[str, ...] = (),
    at: str = "2026-05-14T11:00:00Z",
) -> dict[str, Any]:
    return change(
        "close",
        inspection=inspection,
        observations=list(observations),
        photos=list(photos),
        closed_at=at,
    )
