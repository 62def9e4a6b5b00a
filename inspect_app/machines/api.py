"""What the API says about machines."""

from typing import Any
from uuid import UUID

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inspect_app.api_errors import Refusal
from inspect_app.machines.selectors import machine_with_history, machines_of
from inspect_app.paging import page_of
from inspect_app.people.api import MemberView, RefusalSerializer

PAGE_PARAMETER = OpenApiParameter("after", str, description="`next` of the page before")


class MachineSerializer(serializers.Serializer[Any]):
    """A machine's row."""

    id = serializers.UUIDField(source="phone_id")
    label = serializers.CharField()  # type: ignore[assignment]
    kind = serializers.CharField()
    identification_number = serializers.CharField()
    assemblies = serializers.ListField(child=serializers.DictField())
    changed_at = serializers.DateTimeField()


class DistanceSerializer(serializers.Serializer[Any]):
    """What the odometer and hour meter said."""

    read_on = serializers.DateField()
    distance = serializers.CharField()
    engine_hours = serializers.CharField()
    inspection = serializers.UUIDField(source="inspection_phone_id", allow_null=True)


class ServiceSerializer(serializers.Serializer[Any]):
    """Work done."""

    done_on = serializers.DateField()
    distance = serializers.CharField()
    work = serializers.CharField()


class MachineHistorySerializer(MachineSerializer):
    """A machine with its past."""

    distances = DistanceSerializer(many=True)
    services = ServiceSerializer(many=True)


class MachinePageSerializer(serializers.Serializer[Any]):
    """A page of machines."""

    rows = MachineSerializer(many=True)
    next = serializers.CharField(allow_null=True)


class MachineListView(MemberView):
    """All machines."""

    @extend_schema(
        operation_id="machines_list",
        parameters=[PAGE_PARAMETER],
        responses=MachinePageSerializer,
    )
    def get(self, request: Request) -> Response:
        """One page, by label."""
        page, mark = page_of(
            machines_of(self.organisation),
            by="label",
            descending=False,
            after=request.query_params.get("after"),
            value_of=lambda machine: machine.label,
        )
        return Response({"rows": MachineSerializer(page, many=True).data, "next": mark})


class MachineView(MemberView):
    """One machine."""

    @extend_schema(
        operation_id="machine_read",
        responses={200: MachineHistorySerializer, 404: RefusalSerializer},
    )
    def get(self, _request: Request, machine_id: UUID) -> Response:
        """The machine with its distances and services."""
        machine = machine_with_history(self.organisation, machine_id)
        if machine is None:
            raise Refusal(code="not_found", detail="There is no such machine here.", status=404)
        return Response(MachineHistorySerializer(machine).data)
