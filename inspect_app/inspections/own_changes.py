"""What the server itself has to tell phones: an entry of the log that no phone may send."""

import hashlib
import json
import uuid
from typing import Any
from uuid import UUID

from django.utils import timezone

from inspect_app.inspections.models import Change
from inspect_app.inspections.positions import take_positions
from inspect_app.people.models import Member

DEVICE = "server"


def add_own_change(
    *, kind: Change.Kind, inspection_phone_id: UUID, body: dict[str, Any], member: Member
) -> None:
    """Add it to the log of the member's organisation.  Call within `atomic`."""
    text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    Change(
        organisation=member.organisation,
        position=take_positions(member.organisation, 1),
        change_id=uuid.uuid4(),
        kind=kind,
        inspection_phone_id=inspection_phone_id,
        body=text,
        body_sha256=hashlib.sha256(f"{kind}\n{text}".encode()).hexdigest(),
        author=member,
        device=DEVICE,
        received_at=timezone.now(),
    ).save()
