"""Guides for the usual layout of each machine kind: a phone starts from them with no signal."""

import hashlib
import json
from functools import lru_cache

from inspect_app.engine import api as engine

ANY_DAY = "2026-01-01"  # a guide does not depend on the day; a record must have one
FIRST_KIND = "other"


@lru_cache(maxsize=1)
def usual_guides_in_brotli() -> bytes:
    """The same, compressed: half a megabyte becomes a few dozen kilobytes, once a process."""
    import brotli  # type: ignore[import-untyped]

    body, _ = usual_guides()
    packed: bytes = brotli.compress(body, mode=brotli.MODE_TEXT, quality=9)
    return packed


@lru_cache(maxsize=1)
def usual_guides() -> tuple[bytes, str]:
    """JSON of {machine kind: guide} and its entity tag; made once a process."""
    first = _guide_text(FIRST_KIND)
    kinds = [kind["id"] for kind in json.loads(first)["machine_kinds"]]
    members = [f"{json.dumps(kind)}:{_guide_text(kind)}" for kind in kinds]
    body = f"{{{','.join(members)}}}".encode()
    return body, f'"{hashlib.sha256(body).hexdigest()[:32]}"'


def _guide_text(kind: str) -> str:
    record = {
        "format": "suspension-record/1",
        "id": f"usual-{kind}",
        "inspected_on": ANY_DAY,
        "machine": {"kind": kind},
    }
    return engine.guide(json.dumps(record))
