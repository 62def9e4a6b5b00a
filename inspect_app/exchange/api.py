"""Documents and their schemas, for programs."""

import json
from uuid import UUID

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from inspect_app.api_errors import Refusal
from inspect_app.exchange.report_document import report_document
from inspect_app.exchange.schemas import ADDRESS, NAMES, schema_of
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
