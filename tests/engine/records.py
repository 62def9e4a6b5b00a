"""Small records for tests: one machine, one corner, the answers a test is about."""

import json
from typing import Any

from inspect_app.engine import api

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")


def record(
    *observations: dict[str, Any],
    spec: dict[str, Any] | None = None,
    assemblies: list[dict[str, Any]] | None = None,
    use: dict[str, Any] | None = None,
    **top: Any,
) -> dict[str, Any]:
    """A record; spec describes the front left corner, the other corners are plain coil-overs."""
    corners = assemblies or [
        {"at": at, "damper": "coilover", **(spec or {} if at == "front_left" else {})}
        for at in CORNERS
    ]
    document: dict[str, Any] = {
        "format": "suspension-record/1",
        "id": "r1",
        "inspected_on": "2026-05-14",
        "machine": {"kind": "sport_side_by_side", "use": use or {}},
        "assemblies": corners,
        "observations": list(observations),
    }
    return document | top


def seen(checkpoint: str, word: Any = None, *, at: str = "front_left", **more: Any) -> Any:
    """One checked answer."""
    told = {} if word is None else {"seen": word}
    return {"checkpoint": checkpoint, "at": at, "status": "checked", **told, **more}


def assessed(*observations: dict[str, Any], **more: Any) -> dict[str, Any]:
    """The assessment of a small record."""
    document: dict[str, Any] = json.loads(api.assess(json.dumps(record(*observations, **more))))
    return document


def found(*observations: dict[str, Any], **more: Any) -> dict[str, Any]:
    """The first finding of a small record."""
    first: dict[str, Any] = assessed(*observations, **more)["findings"][0]
    return first


def problems(document: Any) -> dict[str, str]:
    """Path -> message of a record that must be refused."""
    text = document if isinstance(document, str) else json.dumps(document)
    try:
        api.assess(text)
    except api.RecordError as refused:
        return {problem.path: problem.message for problem in refused.problems}
    return {}
