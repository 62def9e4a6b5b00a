"""Who is really calling: forwarded headers count only when a known proxy sends them."""

from collections.abc import Callable
from functools import lru_cache
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

FORWARDED_HEADERS = (
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PORT",
    "HTTP_FORWARDED",
)


class TrustedProxyMiddleware:
    """Sets REMOTE_ADDR to the nearest address no trusted proxy stands for.

    A caller that is no trusted proxy loses its forwarded headers: a changing X-Forwarded-For
    is no way round the sign-in limit, and X-Forwarded-Proto no way to fake https.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Settle the address, then go on."""
        caller = request.META.get("REMOTE_ADDR", "")
        if _is_trusted(caller):
            request.META["REMOTE_ADDR"] = _client_behind(
                request.META.get("HTTP_X_FORWARDED_FOR", ""), caller
            )
        else:
            for header in FORWARDED_HEADERS:
                request.META.pop(header, None)
        return self.get_response(request)


def _client_behind(forwarded_for: str, caller: str) -> str:
    client = caller
    for hop in reversed([part.strip() for part in forwarded_for.split(",") if part.strip()]):
        if not _is_address(hop):
            break
        client = hop
        if not _is_trusted(hop):
            break
    return client


def _is_address(text: str) -> bool:
    try:
        ip_address(text)
    except ValueError:
        return False
    return True


def _is_trusted(address: str) -> bool:
    if not address:
        return "unix" in settings.TRUSTED_PROXIES
    if not _is_address(address):
        return False
    networks = _networks(tuple(settings.TRUSTED_PROXIES))
    return any(ip_address(address) in network for network in networks)


@lru_cache(maxsize=4)
def _networks(proxies: tuple[str, ...]) -> tuple[IPv4Network | IPv6Network, ...]:
    return tuple(ip_network(proxy, strict=False) for proxy in proxies if proxy != "unix")
