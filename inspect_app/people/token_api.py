"""Tokens as whoever manages the organisation makes them, at a screen: never by another token."""

from typing import Any

from drf_spectacular.utils import OpenApiResponse, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inspect_app.api_errors import Refusal
from inspect_app.people.api import MemberView, RefusalSerializer
from inspect_app.people.authentication import SessionWithCsrf
from inspect_app.people.models import ApiToken
from inspect_app.people.tokens import make_token, revoke_token, tokens_of


class NewTokenSerializer(serializers.Serializer[Any]):
    """What a token is for, what it may, and how long."""

    name = serializers.CharField(max_length=80)
    scopes = serializers.ListField(child=serializers.ChoiceField(choices=ApiToken.Scope.choices))
    days = serializers.IntegerField(help_text="how long it lasts, at most 366")


class TokenSerializer(serializers.Serializer[Any]):
    """A token's row, without its secret."""

    id = serializers.IntegerField(source="pk")
    name = serializers.CharField()
    start = serializers.CharField(help_text="its first characters")
    scopes = serializers.ListField(child=serializers.CharField())
    acts_for = serializers.CharField(source="member.name")
    made_at = serializers.DateTimeField()
    expires_at = serializers.DateTimeField()
    used_at = serializers.DateTimeField(allow_null=True, help_text="to within five minutes")


class MadeTokenSerializer(TokenSerializer):
    """The only time its secret is shown."""

    token = serializers.CharField()


class TokensView(MemberView):
    """The organisation's tokens."""

    authentication_classes = (SessionWithCsrf,)

    @extend_schema(operation_id="tokens_list", responses=TokenSerializer(many=True))
    def get(self, _request: Request) -> Response:
        """Those that were not taken back, latest first."""
        self.check_manages()
        return Response(TokenSerializer(tokens_of(self.member), many=True).data)

    @extend_schema(
        operation_id="token_make",
        request=NewTokenSerializer,
        responses={200: MadeTokenSerializer, 400: RefusalSerializer, 403: RefusalSerializer},
    )
    def post(self, request: Request) -> Response:
        """A new one, acting for the caller; its secret is in this answer and nowhere else."""
        self.check_manages()
        name, scopes, days = _read(request.data)
        token, secret = make_token(self.member, name=name, scopes=scopes, days=days)
        return Response({**TokenSerializer(token).data, "token": secret})


class TokenView(MemberView):
    """One token."""

    authentication_classes = (SessionWithCsrf,)

    @extend_schema(
        operation_id="token_revoke",
        responses={204: OpenApiResponse(description="Taken back"), 404: RefusalSerializer},
    )
    def delete(self, _request: Request, token_id: int) -> Response:
        """Take it back; from now on it opens nothing."""
        self.check_manages()
        if not revoke_token(self.member, token_id):
            raise Refusal(code="not_found", detail="There is no such token here.", status=404)
        return Response(status=204)


def _read(data: Any) -> tuple[str, list[str], int]:  # noqa: ANN401 - JSON
    body = data if isinstance(data, dict) else {}
    name, scopes, days = body.get("name"), body.get("scopes"), body.get("days")
    return (
        name if isinstance(name, str) else "",
        scopes if isinstance(scopes, list) and all(isinstance(one, str) for one in scopes) else [],
        days if type(days) is int else 0,
    )
