"""Every way to say no, in one shape: {"code", "detail", "fields"}."""

import logging
import secrets
from collections.abc import Callable, Mapping

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from rest_framework import exceptions
from rest_framework.response import Response

from inspect_app.engine.errors import RecordError

logger = logging.getLogger("inspect_app.errors")


class Refusal(Exception):  # noqa: N818 - a refusal is an answer, not a fault
    """A request that is not done, said in one plain sentence."""

    def __init__(
        self,
        *,
        code: str,
        detail: str,
        status: int = 400,
        fields: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.status = status
        self.fields = dict(fields or {})


def refusal_for(error: Exception, _context: object) -> Response | None:
    """The answer to an exception raised in a view; None for a fault of ours (a 500)."""
    refusal = _as_refusal(error)
    if refusal is None:
        return None
    headers = {}
    if isinstance(error, exceptions.APIException):
        if (wait := getattr(error, "wait", None)) is not None:
            headers["Retry-After"] = str(int(wait))
        if challenge := getattr(error, "auth_header", None):
            headers["WWW-Authenticate"] = challenge
    return Response(body_of(refusal), status=refusal.status, headers=headers)


def body_of(refusal: Refusal) -> dict[str, object]:
    """The JSON body of a refusal."""
    return {"code": refusal.code, "detail": refusal.detail, "fields": refusal.fields}


def _as_refusal(error: Exception) -> Refusal | None:
    if isinstance(error, Refusal):
        return error
    if isinstance(error, RecordError):
        return _refused_record(error)
    if isinstance(error, RequestDataTooBig):
        return Refusal(code="too_large", detail="This is too large to be sent at once.", status=413)
    if isinstance(error, Http404 | exceptions.NotFound):
        return Refusal(code="not_found", detail="There is nothing here.", status=404)
    if isinstance(error, exceptions.NotAuthenticated | exceptions.AuthenticationFailed):
        return Refusal(code="signed_out", detail="Sign in first.", status=401)
    if isinstance(error, PermissionDenied | exceptions.PermissionDenied):
        return _forbidden(error)
    if isinstance(error, exceptions.APIException):
        code = str(getattr(error, "default_code", "refused"))
        return Refusal(code=code, detail=str(error.detail), status=error.status_code)
    return None


def _forbidden(error: Exception) -> Refusal:
    sentence = str(getattr(error, "detail", error) or "This is not yours to do.")
    if sentence.startswith("CSRF"):
        return Refusal(
            code="csrf_failed", detail="Ask for a new token at /api/session first.", status=403
        )
    return Refusal(code="forbidden", detail=sentence, status=403)


def _refused_record(error: RecordError) -> Refusal:
    count = len(error.problems)
    return Refusal(
        code="record_refused",
        detail=f"The record has {count} problem{'s' if count != 1 else ''}.",
        status=422,
        fields=_by_place(error),
    )


def _by_place(error: RecordError) -> dict[str, str]:
    """Every sentence under its place; two of one place stand one after the other."""
    fields: dict[str, str] = {}
    for problem in error.problems:
        before = f"{fields[problem.path]}. " if problem.path in fields else ""
        fields[problem.path] = before + problem.message
    return fields


class ServerErrorMiddleware:
    """The outermost handler: a fault of ours becomes a log line with an id people can quote."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Go on; process_exception does the work."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Log and answer; Django's own answers (404, 403) go their usual way."""
        if isinstance(error, Http404 | PermissionDenied):
            return None
        if (refusal := _as_refusal(error)) is not None:
            return JsonResponse(body_of(refusal), status=refusal.status)
        fault_id = secrets.token_hex(4)
        logger.error("fault %s at %s %s", fault_id, request.method, request.path, exc_info=error)
        fault = Refusal(
            code="server_fault",
            detail=f"Something went wrong on our side. What you wrote is safe. Fault {fault_id}.",
            status=500,
        )
        return JsonResponse(body_of(fault), status=500)


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404: JSON under /api/, else one line; never the start page under a wrong name."""
    return _plain_answer(request, code="not_found", detail="There is nothing here.", status=404)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400: a request that Django itself refuses, such as one to a host that is not ours."""
    detail = "This request cannot be understood."
    return _plain_answer(request, code="bad_request", detail=detail, status=400)


def server_fault(request: HttpRequest) -> HttpResponse:
    """500 outside of any view; inside one, ServerErrorMiddleware answers with an id."""
    detail = "Something went wrong on our side. What you wrote is safe."
    return _plain_answer(request, code="server_fault", detail=detail, status=500)


def _plain_answer(request: HttpRequest, *, code: str, detail: str, status: int) -> HttpResponse:
    if request.path.startswith("/api/"):
        return JsonResponse(body_of(Refusal(code=code, detail=detail)), status=status)
    return HttpResponse(f"{detail}\n", status=status, content_type="text/plain; charset=utf-8")
