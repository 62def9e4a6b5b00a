"""Headers that tell browsers what pages may do and caches what they may keep."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

# wasm-unsafe-eval: the engine on the phone is WebAssembly; nothing else is ever evaluated.
PAGE_POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; "
    "connect-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' blob: data:; "
    "manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
ADMIN_POLICY = (
    "default-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'"
)
ANSWER_POLICY = "default-src 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox"


class SecurityHeadersMiddleware:
    """Adds the content policy to every answer, and keeps API answers out of every cache."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer, then add what is not there yet."""
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", _policy_for(request.path))
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        if request.path.startswith(("/api/", "/admin/")):
            response.headers.setdefault("Cache-Control", "private, no-store")
        return response


def _policy_for(path: str) -> str:
    if path.startswith("/api/"):
        return ANSWER_POLICY
    return ADMIN_POLICY if path.startswith("/admin/") else PAGE_POLICY
