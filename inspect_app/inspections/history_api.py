"""The trend of a machine, and the comparison of two inspections."""

from uuid import UUID

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request

from inspect_app.api_errors import Refusal
from inspect_app.inspections.api import OfAnInspectionView
from inspect_app.inspections.history import comparison_of, trend_of_machine
from inspect_app.inspections.json_answers import json_text_answer
from inspect_app.machines.selectors import machine_with_history
from inspect_app.people.api import MemberView, RefusalSerializer

_REFUSED = {404: RefusalSerializer, 422: RefusalSerializer}
_SAID = {"yes": True, "no": False, "": None}


class TrendView(MemberView):
    """Where a machine is heading."""

    @extend_schema(operation_id="machine_trend", responses={200: OpenApiTypes.OBJECT, **_REFUSED})
    def get(self, _request: Request, machine_id: UUID) -> HttpResponse:
        """Over three or more closed inspections that say their distance."""
        if machine_with_history(self.organisation, machine_id) is None:
            raise Refusal(code="not_found", detail="There is no such machine here.", status=404)
        return json_text_answer(trend_of_machine(self.organisation, machine_id))


class ComparisonView(OfAnInspectionView):
    """What changed from one inspection to another."""

    @extend_schema(
        operation_id="inspection_compare",
        parameters=[
            OpenApiParameter(
                "nobody_else_had_it",
                enum=["yes", "no"],
                description="whether nobody else had the machine in between; left out: not known",
            )
        ],
        responses={200: OpenApiTypes.OBJECT, **_REFUSED},
    )
    def get(self, request: Request, inspection_id: UUID, other_id: UUID) -> HttpResponse:
        """The earlier one first, whatever the order of the two."""
        said = request.query_params.get("nobody_else_had_it", "")
        if said not in _SAID:
            raise Refusal(code="bad_request", detail="nobody_else_had_it: write yes or no.")
        return json_text_answer(
            comparison_of(
                self.organisation,
                self.inspection(inspection_id),
                self.inspection(other_id),
                nobody_else_had_it=_SAID[said],
            )
        )
