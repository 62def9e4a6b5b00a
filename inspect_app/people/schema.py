"""What the API's description says about signing in.  Importing it is enough."""

from drf_spectacular.authentication import SessionScheme


class SessionWithCsrfScheme(SessionScheme):  # type: ignore[no-untyped-call]
    """The session cookie."""

    target_class = "inspect_app.people.authentication.SessionWithCsrf"
    name = "session"
