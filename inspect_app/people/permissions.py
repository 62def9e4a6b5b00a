"""Who may call what."""

from typing import TYPE_CHECKING

from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from inspect_app.people.models import ApiToken
from inspect_app.people.selectors import member_of

if TYPE_CHECKING:  # views themselves import this module, by name in the settings
    from rest_framework.views import APIView


class IsMember(BasePermission):
    """Signed in, and in an organisation; readers only read."""

    message = "Your role can look at things here, not change them."
    not_in_scope = "This token may not do that."

    def has_permission(self, request: Request, view: "APIView") -> bool:
        """True where the call may go on."""
        member = member_of(request.user)
        if member is None:
            return False
        is_reading = request.method in SAFE_METHODS
        if isinstance(request.auth, ApiToken) and not _is_in_scope(request.auth, view, is_reading):
            self.message = self.not_in_scope
            return False
        return is_reading or member.may_write


def _is_in_scope(token: ApiToken, view: "APIView", is_reading: bool) -> bool:
    """True if the token may; a view that takes everything out or in says `is_export`."""
    needed = {ApiToken.Scope.EXPORT} if getattr(view, "is_export", False) else set()
    if not is_reading:
        needed.add(ApiToken.Scope.WRITE)
    elif not needed:
        needed.add(ApiToken.Scope.READ)
    return needed <= set(token.scopes)
