"""Times as phones write them."""

from datetime import datetime

from django.utils import timezone
from django.utils.dateparse import parse_datetime


def moment_of(text: str) -> datetime | None:
    """The moment an ISO 8601 text names, in this server's zone where it names none; else None."""
    try:
        moment = parse_datetime(text)
    except ValueError:
        return None
    if moment is not None and timezone.is_naive(moment):
        return timezone.make_aware(moment)
    return moment
