"""What changed between a signature and the revision it is printed in.

A signature stands for what was on the screen then.  Where that is not what is printed now, the
report says so beside it.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from inspect_app.engine import api as engine
from inspect_app.engine.errors import RecordError
from inspect_app.reports.models import Report
from inspect_app.reports.pdf import words

Document = Mapping[str, Any]

RECORD_CHANGED = "what was recorded, though no finding"
_TELLS = ("title", "zone", "risk", "stop_riding", "failure_mode", "action")


def revision_signed_with(earlier: Sequence[Report], sign_off_id: str) -> Report | None:
    """The first of these revisions, in their order, that carries the sign-off."""
    for report in earlier:
        if any(one["id"] == sign_off_id for one in json.loads(report.sign_offs)):
            return report
    return None


def changes_since(signed: Document, now: Document, *, printed: Document | None) -> list[str]:
    """What the printed assessment says otherwise than what was signed, a few words each.

    signed: the record as it was when it was signed; now: {"record", "assessment"} of this
    revision; printed: the assessment of the first revision that carries the signature.
    """
    then = [printed] if printed else []
    if signed != now["record"]:
        try:
            then.append(json.loads(engine.assess(json.dumps(signed))))
        except RecordError:
            return [RECORD_CHANGED]  # nothing could be said of it then
    told = [change for before in then for change in _changed(before, now["assessment"])]
    if not told and signed != now["record"]:
        told = [RECORD_CHANGED]
    return list(dict.fromkeys(told))


def stands(what: str, assessment: Document) -> bool:
    """True if a numbered finding still has the name it was signed under on the phone."""
    return any(
        what in (f"{one['title']}, {one['place']}", one["title"])
        for one in _numbered(assessment).values()
    )


def _changed(then: Document, now: Document) -> list[str]:
    before, after = _numbered(then), _numbered(now)
    told = [f"{words.name_of(one)}: no longer found" for i, one in before.items() if i not in after]
    for finding_id, one in after.items():
        old = before.get(finding_id)
        if old is None:
            told.append(f"{words.name_of(one)}: found since")
        elif any(old[key] != one[key] for key in _TELLS) or _cost(old) != _cost(one):
            told.append(f"{words.name_of(one)}: now zone {one['zone']}, {one['risk']} risk")
    return told


def _numbered(assessment: Document) -> dict[str, Document]:
    return {one["id"]: one for one in assessment["findings"] if one["number"] is not None}


def _cost(finding: Document) -> str:
    return str(finding["money"]["cost_now"])
