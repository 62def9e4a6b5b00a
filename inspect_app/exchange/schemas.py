"""The published JSON Schemas (2020-12), each made from the one place where its shape is written.

A record's from the parser and the rulebook (record_schema.py); those of what we make from the
types in frontend/src/lib/documents.ts (typescript_types.py).
"""

from functools import cache
from typing import Any

from django.conf import settings

from inspect_app.engine.rules import own_rulebook
from inspect_app.exchange.record_schema import record_schema
from inspect_app.exchange.typescript_types import schema_of_type

DIALECT = "https://json-schema.org/draft/2020-12/schema"
ADDRESS = "/api/schemas/"
TYPES = settings.BASE_DIR / "frontend" / "src" / "lib" / "documents.ts"
# document -> (its type in documents.ts, what it is)
_MADE = {
    "guide": ("Guide", "What to check on a machine"),
    "assessment": ("Assessment", "What the engine made of a record"),
    "trend": ("Trend", "What several records of one machine say of its wear"),
    "comparison": ("Comparison", "What changed between two records of one machine"),
    "report": ("Report", "A report as issued, with the record and assessment it was made from"),
}
NAMES = ("record", *_MADE)
_SUM = {
    "type": "string",
    "pattern": r"^-?[0-9]+(?:\.[0-9]+)?$",
    "description": "An amount in the currency told beside it; a decimal, never a float.",
}


@cache
def schema_of(name: str) -> dict[str, Any]:
    """The schema of one kind of document, by its name in NAMES; whole in itself.

    Its `$id` is the path it is served under; the report's holds those of record and assessment.
    """
    head = {"$schema": DIALECT, "$id": ADDRESS + name}
    if name == "record":
        title = "What was seen at an inspection; never a grade"
        return head | {"title": title} | record_schema(own_rulebook())
    kind, title = _MADE[name]
    within = ("record", "assessment") if name == "report" else ()
    given = {"Money": _SUM} | {_TYPE_OF[one]: {"$ref": ADDRESS + one} for one in within}
    found = schema_of_type(TYPES.read_text("utf-8"), kind, given=given)
    definitions = found.get("$defs", {}) | {one: schema_of(one) for one in within}
    return head | {"title": title} | found | {"$defs": definitions}


_TYPE_OF = {"record": "InspectionRecord", "assessment": "Assessment"}
