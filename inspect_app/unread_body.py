"""Bodies that were refused unread are read to their end before the answer goes out.

A server that closes while a phone still sends resets the connection, and the phone never sees the
answer: a picture refused as too large would look like no signal, and be tried again for ever.
"""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase
from django.http.request import UnreadablePostError

# Well beyond what a camera makes; whoever sends more is cut off.
MOST_BYTES_DRAINED = 100 * 1024 * 1024
_PIECE_BYTES = 64 * 1024


class UnreadBodyMiddleware:
    """Discards what is left of the body of a request that was refused."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer, but not before the caller has said all."""
        response = self.get_response(request)
        if response.status_code >= 400:
            _drain(request)
        return response


def _drain(request: HttpRequest) -> None:
    try:
        for _ in range(MOST_BYTES_DRAINED // _PIECE_BYTES):
            if not request.read(_PIECE_BYTES):
                return
    except UnreadablePostError:  # the caller hung up: nobody reads the answer
        return
