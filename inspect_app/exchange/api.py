"""Documents, their schemas and tables of findings, for programs."""

import json
from collections.abc import Iterable, Sequence
from uuid import UUID

from django.http import HttpResponse, StreamingHttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from inspect_app.api_errors import Refusal
from inspect_app.exchange.finding_rows import COLUMNS, finding_rows, finding_rows_of
from inspect_app.exchange.report_document import report_document
from inspect_app.exchange.schemas import ADDRESS, NAMES, schema_of
from inspect_app.exchange.spreadsheet import Cell, csv_lines
from inspect_app.inspections.api import OfAnInspectionView
from inspect_app.inspections.assessing import assess_inspection
from inspect_app.inspections.json_answers import json_text_answer
from inspect_app.people.api import MemberView, RefusalSerializer
from inspect_app.reports.selectors import report_of


class SchemasView(APIView):
    """Which documents have a published schema; anybody may read them."""

    permission_classes = (AllowAny,)

    @extend_schema(operation_id="schemas_list", responses=OpenApiTypes.OBJECT)
    def get(self, _request: Request) -> Response:
        """{document: where its schema is}."""
        return Response({name: ADDRESS + name for name in NAMES})


class SchemaView(APIView):
    """The JSON Schema of one kind of document."""

    permission_classes = (AllowAny,)

    @extend_schema(
        operation_id="schema_of_document",
        responses={(200, "application/schema+json"): OpenApiTypes.OBJECT, 404: RefusalSerializer},
    )
    def get(self, _request: Request, name: str) -> HttpResponse:
        """The schema; nothing in it is of anybody."""
        if name not in NAMES:
            detail = f"There is no such schema here; there are {', '.join(NAMES)}."
            raise Refusal(code="not_found", detail=detail, status=404)
        text = json.dumps(schema_of(name), ensure_ascii=False)
        return HttpResponse(text, content_type="application/schema+json")


class ReportDocumentView(MemberView):
    """An issued report for programs."""

    @extend_schema(
        operation_id="report_document",
        responses={200: OpenApiTypes.OBJECT, 404: RefusalSerializer},
    )
    def get(self, _request: Request, report_id: UUID) -> HttpResponse:
        """suspension-report/1: what was frozen, with its record and assessment."""
        report = report_of(self.organisation, report_id)
        if report is None:
            raise Refusal(code="not_found", detail="There is no such report here.", status=404)
        return json_text_answer(report_document(report))


_CSV = {(200, "text/csv"): OpenApiTypes.STR}


class FindingsView(MemberView):
    """Every finding of the organisation, for a spreadsheet."""

    is_export = True

    @extend_schema(operation_id="findings_csv", responses=_CSV)
    def get(self, _request: Request) -> StreamingHttpResponse:
        """One row a finding and one for each thing nobody looked at, inspections latest first."""
        return _csv_answer(finding_rows(self.organisation), name="findings.csv")


class InspectionFindingsView(OfAnInspectionView):
    """The findings of one inspection, for a spreadsheet."""

    @extend_schema(
        operation_id="inspection_findings_csv",
        responses={**_CSV, 404: RefusalSerializer, 422: RefusalSerializer},
    )
    def get(self, _request: Request, inspection_id: UUID) -> StreamingHttpResponse:
        """The same table, of one inspection."""
        inspection = self.inspection(inspection_id)
        rows = finding_rows_of(inspection, *assess_inspection(inspection))
        name = f"findings-{inspection.inspected_on}-{str(inspection_id)[:8]}.csv"
        return _csv_answer(rows, name=name)


def _csv_answer(rows: Iterable[Sequence[Cell]], *, name: str) -> StreamingHttpResponse:
    answer = StreamingHttpResponse(
        csv_lines(COLUMNS, rows), content_type="text/csv; charset=utf-8; header=present"
    )
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
