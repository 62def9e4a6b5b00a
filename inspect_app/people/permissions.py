"""Who may call what."""

from typing import TYPE_CHECKING

from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from inspect_app.people.selectors import member_of

if TYPE_CHECKING:  # views themselves import this module, by name in the settings
    from rest_framework.views import APIView


class IsMember(BasePermission):
    """Signed in, and in an organisation; readers only read."""

    message = "Your role can look at things here, not change them."

    def has_permission(self, request: Request, _view: "APIView") -> bool:
        """True where the call may go on."""
        member = member_of(request.user)
        return member is not None and (request.method in SAFE_METHODS or member.may_write)
