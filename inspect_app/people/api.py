"""Session calls, and the view every other call is built on."""

from collections.abc import Sequence

from django.contrib.auth import login, logout
from django.middleware.csrf import get_token
from drf_spectacular.utils import OpenApiResponse, extend_schema
from rest_framework import serializers, status
from rest_framework.authentication import BaseAuthentication
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from inspect_app.api_errors import Refusal
from inspect_app.people.authentication import BearerToken, SessionWithCsrf
from inspect_app.people.models import Member, Organisation
from inspect_app.people.selectors import member_of
from inspect_app.people.services import check_sign_in, let_in_privately

BACKEND = "inspect_app.people.authentication.MemberBackend"


class RefusalSerializer(serializers.Serializer[Refusal]):
    """A refusal."""

    code = serializers.CharField()
    detail = serializers.CharField()
    fields = serializers.DictField(child=serializers.CharField())  # type: ignore[assignment]


class NamedSerializer(serializers.Serializer[object]):
    """Something with an id and a name."""

    id = serializers.CharField()
    name = serializers.CharField()


class PersonSerializer(NamedSerializer):
    """Who is signed in; a private person works without a sign-in, under no name of their own."""

    private = serializers.BooleanField()


class SessionSerializer(serializers.Serializer[object]):
    """Who is signed in, and the token for the next change."""

    person = PersonSerializer(allow_null=True)
    organisation = NamedSerializer(allow_null=True)
    csrf = serializers.CharField()


class PrivateSessionSerializer(SessionSerializer):
    """Also the secret with which this phone is let in the next time."""

    secret = serializers.CharField(allow_null=True)


class DeviceSecretSerializer(serializers.Serializer[object]):
    """What this phone was given the last time, if anything."""

    secret = serializers.CharField(required=False, max_length=100)


class SignInSerializer(serializers.Serializer[object]):
    """Name and password."""

    username = serializers.CharField(max_length=150)
    password = serializers.CharField(max_length=1024, trim_whitespace=False)


class MemberView(APIView):
    """A view for members; `self.member` and `self.organisation` are the caller's.

    The header X-Person says whose work a phone sends or asks for: between two calls somebody else
    may have signed in on it, and the one's work never reaches the other (401 `other_person`).
    """

    authentication_classes: Sequence[type[BaseAuthentication]] = (BearerToken, SessionWithCsrf)

    def initial(self, request: Request, *args: object, **kwargs: object) -> None:
        """Refuse what is meant for another person."""
        super().initial(request, *args, **kwargs)
        meant = request.headers.get("X-Person")
        if meant is not None and meant != self.member.phone_name:
            raise Refusal(
                code="other_person", detail="Someone else is signed in here now.", status=401
            )

    def check_manages(self) -> None:
        """Raises Refusal 403 for whoever does not manage the organisation."""
        if self.member.role != Member.Role.MANAGER:
            raise Refusal(
                code="forbidden", detail="Only who manages the organisation may.", status=403
            )

    @property
    def member(self) -> Member:
        """The caller."""
        member = member_of(self.request.user)
        if member is None:  # a view that lets others in must not ask
            raise Refusal(code="signed_out", detail="Sign in first.", status=401)
        return member

    @property
    def organisation(self) -> Organisation:
        """The caller's organisation: the only one whose rows this call sees."""
        return self.member.organisation


class SessionView(APIView):
    """Who is signed in."""

    permission_classes = (AllowAny,)

    @extend_schema(operation_id="session_read", responses=SessionSerializer)
    def get(self, request: Request) -> Response:
        """The session, with the token that changes need."""
        return _session(request, member_of(request.user))

    @extend_schema(
        operation_id="session_sign_in",
        request=SignInSerializer,
        responses={200: SessionSerializer, 401: RefusalSerializer, 429: RefusalSerializer},
    )
    def post(self, request: Request) -> Response:
        """Sign in."""
        given = request.data if isinstance(request.data, dict) else {}
        username, password = given.get("username"), given.get("password")
        if not (isinstance(username, str) and isinstance(password, str) and len(password) <= 1024):
            raise Refusal(code="bad_request", detail="Give username and password as texts.")
        member = check_sign_in(request=request._request, username=username, password=password)
        login(request._request, member.user, backend=BACKEND)
        return _session(request, member)

    @extend_schema(
        operation_id="session_sign_out",
        request=None,
        responses={204: OpenApiResponse(description="Signed out")},
    )
    def delete(self, request: Request) -> Response:
        """Sign out."""
        logout(request._request)
        # Nothing of this person stays readable for the next one on the same phone.
        headers = {"Clear-Site-Data": '"cache"'}
        return Response(status=status.HTTP_204_NO_CONTENT, headers=headers)


class PrivateSessionView(APIView):
    """An organisation of one, without a form to fill in."""

    permission_classes = (AllowAny,)

    @extend_schema(
        operation_id="session_private",
        request=DeviceSecretSerializer,
        responses={
            200: PrivateSessionSerializer,
            401: RefusalSerializer,
            429: RefusalSerializer,
        },
    )
    def post(self, request: Request) -> Response:
        """Start as a private person, or with the secret be let in again as the same one.

        Who is signed in by name stays so and is given no secret.
        """
        given = request.data if isinstance(request.data, dict) else {}
        secret = given.get("secret")
        if not (secret is None or isinstance(secret, str)):
            raise Refusal(code="bad_request", detail="Give secret as a text.")
        now = member_of(request.user)
        if now is not None and not now.organisation.is_private:
            return _session(request, now, secret=None)
        address = request.META.get("REMOTE_ADDR", "")
        member, made = let_in_privately(known=now, secret=secret, address=address)
        if member != now:
            login(request._request, member.user, backend=BACKEND)
        return _session(request, member, secret=made)


def _session(request: Request, member: Member | None, **more: str | None) -> Response:
    person = member and {
        "id": member.phone_name,
        "name": member.name,
        "private": member.organisation.is_private,
    }
    organisation = member and {
        "id": str(member.organisation_id),
        "name": member.organisation.name,
    }
    token = get_token(request._request)
    return Response({"person": person, "organisation": organisation, "csrf": token, **more})
