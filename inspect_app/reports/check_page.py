"""The page where anybody checks a report: by its code, by its file, or both."""

import re
from dataclasses import dataclass
from ipaddress import ip_address, ip_network
from typing import Literal

from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from inspect_app.reports.checking import Checked, checked_reports
from inspect_app.reports.codes import tidy_code

SHA256 = re.compile(r"[0-9a-f]{64}")
WRONG_CODES = 20  # from one address; each process of the server counts its own
WINDOW_S = 15 * 60

Outcome = Literal["asked", "genuine", "replaced", "not_ours", "changed_file", "too_many"]
STATUS: dict[Outcome, int] = {"not_ours": 404, "too_many": 429}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the page says.

    typed: the code that was asked about.  report: the one found.  file: a file was compared.
    """

    outcome: Outcome
    typed: str = ""
    report: Checked | None = None
    file: bool = False


@require_safe
def check_report(request: HttpRequest, code: str = "") -> HttpResponse:
    """The question, or its answer; a code typed into the form gets an address of its own.

    file in the query: SHA-256 of a PDF, worked out by the visitor's browser.
    """
    given = request.GET.get("file", "").lower()
    sha256 = given if SHA256.fullmatch(given) else ""
    typed = request.GET.get("code", "")[:80].strip()
    if typed and not code:
        tidy = tidy_code(typed)
        if tidy is None:
            return _page(request, Answer(outcome="not_ours", typed=typed))
        query = f"?file={sha256}" if sha256 else ""
        return HttpResponseRedirect(reverse("check-report", args=[tidy]) + query)
    if not code and not sha256:
        return _page(request, Answer(outcome="asked"))
    return _page(request, _answer(request, typed=code, sha256=sha256))


def _answer(request: HttpRequest, *, typed: str, sha256: str) -> Answer:
    attempts = _attempts_key(request)
    if typed and cache.get(attempts, 0) >= WRONG_CODES:
        return Answer(outcome="too_many")
    code = tidy_code(typed)
    found = checked_reports(code=code, pdf_sha256=sha256)
    by_code = next((one for one in found if one.code == code), None)
    by_file = next((one for one in found if one.pdf_sha256 == sha256), None)
    if typed and by_code is None:
        _count_wrong_code(attempts)
    report = by_file or by_code
    if report is None:
        return Answer(outcome="not_ours", typed=typed, file=bool(sha256))
    if sha256 and by_file is None:
        return Answer(outcome="changed_file", typed=typed, report=report, file=True)
    outcome: Outcome = "genuine" if report.is_newest else "replaced"
    return Answer(outcome=outcome, typed=code or typed, report=report, file=bool(sha256))


def _page(request: HttpRequest, answer: Answer) -> HttpResponse:
    status = STATUS.get(answer.outcome, 200)
    response = render(request, "check/check.html", {"answer": answer}, status=status)
    response.headers["Cache-Control"] = "private, no-store"
    response.headers["X-Robots-Tag"] = "noindex"
    return response


def _attempts_key(request: HttpRequest) -> str:
    """One for an IPv4 address, one for an IPv6 network of 64 bits: a caller has all of those."""
    address = request.META.get("REMOTE_ADDR", "")
    try:
        parsed = ip_address(address)
    except ValueError:  # a socket file has none
        return "wrong-codes:here"
    if parsed.version == 6:
        return f"wrong-codes:{ip_network((parsed, 64), strict=False).network_address}"
    return f"wrong-codes:{parsed}"


def _count_wrong_code(key: str) -> None:
    cache.add(key, 0, WINDOW_S)
    try:
        cache.incr(key)
    except ValueError:  # it ran out in between: that one is not counted
        return
