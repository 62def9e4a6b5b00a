"""Issuing and reading reports."""

from typing import Any, cast
from uuid import UUID
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.http import FileResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inspect_app.api_errors import Refusal
from inspect_app.inspections.api import InspectionView
from inspect_app.people.api import MemberView, RefusalSerializer
from inspect_app.reports.keys import why_not_own_key
from inspect_app.reports.selectors import opened_pdf, report_of
from inspect_app.reports.services import PageSize, issue_report
from inspect_app.reports.told import as_told


class IssueSerializer(serializers.Serializer[Any]):
    """How the report is to be printed; everything may be left out."""

    page_size = serializers.ChoiceField(choices=["a4", "letter"], required=False)
    time_zone = serializers.CharField(required=False, help_text="e.g. America/Los_Angeles")
    tells_verdict = serializers.BooleanField(
        required=False, help_text="the check page may tell it to whoever has the code"
    )


class ReportSerializer(serializers.Serializer[Any]):
    """A report's row."""

    id = serializers.UUIDField()
    number = serializers.CharField()
    revision = serializers.IntegerField()
    sha256 = serializers.CharField()
    pdf = serializers.CharField(help_text="where the PDF is")
    issued_at = serializers.DateTimeField()
    verify_code = serializers.CharField()
    check = serializers.CharField(help_text="where anyone can check it")
    tells_verdict = serializers.BooleanField()
    signing = serializers.CharField(
        allow_null=True, help_text="what its issuer's staff should know of the signature"
    )


class IssueReportView(InspectionView):
    """A report of the inspection as it stands."""

    http_method_names = ("post", "options")

    @extend_schema(
        operation_id="report_issue",
        request=IssueSerializer,
        responses={200: ReportSerializer, 404: RefusalSerializer, 422: RefusalSerializer},
    )
    def post(self, request: Request, inspection_id: UUID) -> Response:
        """Issue it."""
        page_size, zone, tells_verdict = _read_issue(request.data)
        report = issue_report(
            self.inspection(inspection_id),
            member=self.member,
            zone=zone,
            site=settings.ADDRESS or request.build_absolute_uri("/"),
            page_size=page_size,
            tells_verdict=tells_verdict,
        )
        signing = why_not_own_key(self.organisation)
        return Response({**as_told(report), "signing": signing})


def _read_issue(data: Any) -> tuple[PageSize, ZoneInfo, bool]:  # noqa: ANN401 - JSON
    body = data if isinstance(data, dict) else {}
    wrong: dict[str, str] = {}
    page_size = body.get("page_size", "a4")
    if page_size not in ("a4", "letter"):
        wrong["page_size"] = "Write a4 or letter."
    zone = _zone_named(body.get("time_zone") or timezone.get_default_timezone_name())
    if zone is None:
        wrong["time_zone"] = "Write the name of a time zone, e.g. America/Los_Angeles."
    tells_verdict = body.get("tells_verdict", False)
    if not isinstance(tells_verdict, bool):
        wrong["tells_verdict"] = "Write true or false."
    if wrong or zone is None:
        raise Refusal(code="bad_request", detail="The report cannot be made so.", fields=wrong)
    return cast("PageSize", page_size), zone, bool(tells_verdict)


def _zone_named(name: object) -> ZoneInfo | None:
    try:
        return ZoneInfo(name) if isinstance(name, str) else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None


class ReportPdfView(MemberView):
    """The PDF as issued."""

    @extend_schema(
        operation_id="report_pdf",
        responses={(200, "application/pdf"): OpenApiTypes.BINARY, 404: RefusalSerializer},
    )
    def get(self, _request: Request, report_id: UUID) -> FileResponse:
        """The file."""
        report = report_of(self.organisation, report_id)
        if report is None:
            raise Refusal(code="not_found", detail="There is no such report here.", status=404)
        name = f"report-{report.number}-{report.revision}.pdf"
        answer = FileResponse(opened_pdf(report), content_type="application/pdf", filename=name)
        # Browsers' own PDF viewers do not open a sandboxed answer.
        answer.headers["Content-Security-Policy"] = "base-uri 'none'; frame-ancestors 'none'"
        return answer
