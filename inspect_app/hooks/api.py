"""Which addresses are told of events, for whoever manages the organisation."""

from typing import Any

from drf_spectacular.utils import OpenApiResponse, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inspect_app.api_errors import Refusal
from inspect_app.hooks.models import Delivery, Hook
from inspect_app.hooks.services import add_hook
from inspect_app.people.api import MemberView, RefusalSerializer
from inspect_app.people.authentication import SessionWithCsrf

_LAST_SHOWN = 20


class NewHookSerializer(serializers.Serializer[Any]):
    """Where to, and of what."""

    url = serializers.CharField(max_length=500)
    events = serializers.ListField(child=serializers.ChoiceField(choices=Hook.Event.choices))


class DeliverySerializer(serializers.Serializer[Any]):
    """What became of one event."""

    event = serializers.CharField()
    subject = serializers.UUIDField()
    attempts = serializers.IntegerField()
    next_try_at = serializers.DateTimeField(allow_null=True)
    done_at = serializers.DateTimeField(allow_null=True)
    said = serializers.CharField()


class HookSerializer(serializers.Serializer[Any]):
    """An address, without its secret."""

    id = serializers.IntegerField(source="pk")
    url = serializers.CharField()
    events = serializers.ListField(child=serializers.CharField())
    made_at = serializers.DateTimeField()


class MadeHookSerializer(HookSerializer):
    """The only time its secret is shown."""

    secret = serializers.CharField()


class HooksSerializer(serializers.Serializer[Any]):
    """All addresses, and the latest that was told or is still to be."""

    hooks = HookSerializer(many=True)
    latest = DeliverySerializer(many=True)


class HooksView(MemberView):
    """The organisation's addresses."""

    authentication_classes = (SessionWithCsrf,)

    @extend_schema(operation_id="hooks_list", responses=HooksSerializer)
    def get(self, _request: Request) -> Response:
        """Addresses, and how the latest attempts ended."""
        self.check_manages()
        latest = Delivery.of(self.organisation).order_by("-made_at", "-pk")[:_LAST_SHOWN]
        hooks = Hook.of(self.organisation).order_by("pk")
        return Response(HooksSerializer({"hooks": hooks, "latest": latest}).data)

    @extend_schema(
        operation_id="hook_add",
        request=NewHookSerializer,
        responses={200: MadeHookSerializer, 400: RefusalSerializer, 403: RefusalSerializer},
    )
    def post(self, request: Request) -> Response:
        """A new one; the secret that signs is in this answer and in no other."""
        self.check_manages()
        body = request.data if isinstance(request.data, dict) else {}
        url, events = body.get("url"), body.get("events")
        is_list = isinstance(events, list) and all(isinstance(one, str) for one in events)
        hook = add_hook(
            self.organisation,
            url=url if isinstance(url, str) else "",
            events=events if is_list and events else [],
        )
        return Response(MadeHookSerializer(hook).data)


class HookView(MemberView):
    """One address."""

    authentication_classes = (SessionWithCsrf,)

    @extend_schema(
        operation_id="hook_remove",
        responses={204: OpenApiResponse(description="Taken away"), 404: RefusalSerializer},
    )
    def delete(self, _request: Request, hook_id: int) -> Response:
        """Take it away, with what was still to be told to it."""
        self.check_manages()
        if not Hook.of(self.organisation).filter(pk=hook_id).delete()[0]:
            raise Refusal(code="not_found", detail="There is no such address here.", status=404)
        return Response(status=204)
