"""JSON texts passed on as they are: the engine's bytes are not parsed and written again."""

from django.http import HttpResponse


def json_text_answer(text: str | bytes) -> HttpResponse:
    """An answer whose body is this JSON."""
    return HttpResponse(text, content_type="application/json")
