"""What the API's description says about signing in.  Importing it is enough."""

from drf_spectacular.authentication import SessionScheme, TokenScheme


class SessionWithCsrfScheme(SessionScheme):  # type: ignore[no-untyped-call]
    """The session cookie."""

    target_class = "inspect_app.people.authentication.SessionWithCsrf"
    name = "session"


class BearerTokenScheme(TokenScheme):  # type: ignore[no-untyped-call]
    """A program's token."""

    target_class = "inspect_app.people.authentication.BearerToken"
    name = "token"

    def get_security_definition(self, _auto_schema: object) -> dict[str, str]:
        """Authorization: Bearer …"""
        return {"type": "http", "scheme": "bearer"}
