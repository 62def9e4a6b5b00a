"""How a request's person is found: session cookie, one query, CSRF always."""

from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import AnonymousUser, User
from rest_framework.authentication import BaseAuthentication, SessionAuthentication
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from inspect_app.people.models import ApiToken
from inspect_app.people.tokens import token_for


class MemberBackend(ModelBackend):
    """Django's own check of passwords; the user comes with member and organisation."""

    def get_user(self, user_id: int) -> User | None:
        """The active user with this id."""
        return (
            User.objects.select_related("member__organisation")
            .filter(pk=user_id, is_active=True)
            .first()
        )


class BearerToken(BaseAuthentication):
    """A program's token, one query; a wrong one is never passed over for a session."""

    def authenticate(self, request: Request) -> tuple[Any, ApiToken] | None:
        """The member's user and the token, or None where no token is given."""
        word, _, secret = request.headers.get("Authorization", "").partition(" ")
        if word.lower() != "bearer":
            return None
        token = token_for(secret.strip())
        if token is None:
            raise AuthenticationFailed
        return token.member.user, token

    def authenticate_header(self, _request: Request) -> str:
        """Makes a wrong token a 401."""
        return "Bearer"


class SessionWithCsrf(SessionAuthentication):
    """Session sign-in; signing in itself and other signed-out posts need the token too."""

    def authenticate(self, request: Request) -> tuple[Any, None] | None:
        """The signed-in user, or None."""
        self.enforce_csrf(request)
        user = request._request.user
        if isinstance(user, AnonymousUser) or not user.is_active:
            return None
        return user, None

    def authenticate_header(self, _request: Request) -> str:
        """Makes a signed-out call a 401, which the phone takes as *sign in again*."""
        return "Session"
