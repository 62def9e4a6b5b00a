"""Adding addresses and putting events into the queue; sending.py takes them out."""

import base64
import json
import secrets
from collections.abc import Collection, Mapping
from typing import Any
from urllib.parse import urlsplit
from uuid import UUID

from django.conf import settings
from django.utils import timezone

from inspect_app.api_errors import Refusal
from inspect_app.hooks.models import Delivery, Hook
from inspect_app.people.models import Organisation

MOST_HOOKS = 10
SECRET_START = "whsec_"  # noqa: S105 - of the Standard Webhooks' secrets


def add_hook(organisation: Organisation, *, url: str, events: Collection[str]) -> Hook:
    """Tell this address of these events from now on.

    Whether it may be reached is looked at each time something is sent: names come to mean other
    machines.  Raises Refusal 400 with every field that is wrong.
    """
    wrong: dict[str, str] = {}
    if not _is_address(url):
        wrong["url"] = "Write the address of your program, https://…"
    if not events or not set(events) <= set(Hook.Event.values):
        wrong["events"] = f"Choose from {', '.join(Hook.Event.values)}."
    if not wrong and Hook.of(organisation).count() >= MOST_HOOKS:
        wrong["url"] = f"There are {MOST_HOOKS} already; take one away first."
    if wrong:
        raise Refusal(code="bad_request", detail="This cannot be told to.", fields=wrong)
    return Hook.of(organisation).create(
        organisation=organisation,
        url=url,
        events=[one for one in Hook.Event.values if one in events],
        secret=SECRET_START + base64.b64encode(secrets.token_bytes(32)).decode(),
    )


def _is_address(url: str) -> bool:
    schemes = {"https", "http"} if settings.HOOKS_MAY_BE_PRIVATE else {"https"}
    try:
        parts = urlsplit(url)
        is_plain = parts.username is None and parts.password is None and parts.port != 0
    except ValueError:
        return False
    is_ascii = len(url) <= 500 and url.isascii() and url.isprintable() and " " not in url
    return is_plain and is_ascii and parts.scheme in schemes and bool(parts.hostname)


def tell_hooks(
    organisation: Organisation, event: Hook.Event, *, subject: UUID, told: Mapping[str, Any]
) -> None:
    """Put the event into the queue of every address that wants it; each subject once.

    Within the caller's transaction: what is undone was never told.
    """
    wanting = [hook for hook in Hook.of(organisation) if event in hook.events]
    if not wanting:
        return
    moment = timezone.now().isoformat().replace("+00:00", "Z")
    body = json.dumps({"type": event, "timestamp": moment, "data": told}, ensure_ascii=False)
    Delivery.of(organisation).bulk_create(
        [
            Delivery(organisation=organisation, hook=hook, event=event, subject=subject, body=body)
            for hook in wanting
        ],
        ignore_conflicts=True,
    )
