"""Sends what is due: signed as the Standard Webhooks say, to addresses of the open internet only.

A name is looked up once and every address it has is looked at; the connection goes to one of
those, so that a name which means another machine a moment later leads nowhere else.  Redirections
are not followed.  An attempt counts from before it is made: two senders never send the same one.
"""

import base64
import hashlib
import hmac
import http.client
import ipaddress
import socket
import ssl
import threading
from contextlib import suppress
from datetime import datetime, timedelta
from urllib.parse import urlsplit

from django.conf import settings
from django.db.models import F
from django.utils import timezone

from inspect_app.hooks.models import Delivery
from inspect_app.hooks.services import SECRET_START

TIMEOUT_S, WHOLE_ATTEMPT_S = 10, 30
MOST_ATTEMPTS = 8
_AT_ONCE = 50
_NAT64 = ipaddress.ip_network("64:ff9b::/96")
Address = ipaddress.IPv4Address | ipaddress.IPv6Address


class NotSent(Exception):  # noqa: N818 - kept beside the delivery for whoever manages it
    """Why an attempt came to nothing, in a few words."""


def send_due(now: datetime | None = None) -> int:
    """Try once whatever is due; how many attempts were made."""
    now = now or timezone.now()
    due = Delivery.of_whoever().filter(next_try_at__lte=now).select_related("hook")
    made = 0
    for delivery in due.order_by("next_try_at", "pk")[:_AT_ONCE]:
        if _claimed(delivery, now):
            _attempt(delivery, now)
            made += 1
    return made


def wait_after(attempts: int) -> timedelta | None:
    """How long until the next: 1 minute, then four times longer each time; None: no more."""
    return None if attempts >= MOST_ATTEMPTS else timedelta(minutes=4 ** (attempts - 1))


def _claimed(delivery: Delivery, now: datetime) -> bool:
    delivery.attempts += 1
    wait = wait_after(delivery.attempts)
    delivery.next_try_at = None if wait is None else now + wait
    mine = Delivery.of_whoever().filter(
        pk=delivery.pk, attempts=delivery.attempts - 1, next_try_at__lte=now
    )
    return mine.update(attempts=F("attempts") + 1, next_try_at=delivery.next_try_at) > 0


def _attempt(delivery: Delivery, now: datetime) -> None:
    try:
        status = _post(delivery.hook.url, delivery.body.encode(), _headers(delivery, now))
        said, is_done = f"answered {status}", 200 <= status < 300
    except NotSent as error:
        said, is_done = str(error), False
    delivery.said = said[:200]
    if is_done:
        delivery.done_at, delivery.next_try_at = now, None
    delivery.save(update_fields=["said", "done_at", "next_try_at"])


def _headers(delivery: Delivery, now: datetime) -> dict[str, str]:
    moment, name = str(int(now.timestamp())), f"msg_{delivery.pk}"
    key = base64.b64decode(delivery.hook.secret.removeprefix(SECRET_START))
    signed = f"{name}.{moment}.{delivery.body}".encode()
    signature = base64.b64encode(hmac.new(key, signed, hashlib.sha256).digest()).decode()
    return {
        "Content-Type": "application/json",
        "User-Agent": "inspect-app",
        "webhook-id": name,
        "webhook-timestamp": moment,
        "webhook-signature": f"v1,{signature}",
    }


def _post(url: str, body: bytes, headers: dict[str, str]) -> int:
    """The status of the answer.  Raises NotSent."""
    parts = urlsplit(url)
    is_secure, host = parts.scheme == "https", parts.hostname or ""
    port = parts.port or (443 if is_secure else 80)
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    try:
        plain = socket.create_connection((checked_address(host, port), port), TIMEOUT_S)
    except OSError as error:
        raise NotSent(f"cannot be reached: {error}") from None
    connection = http.client.HTTPConnection(host, port, timeout=TIMEOUT_S)
    # One that answers a byte at a time must not keep the others waiting.
    cut = threading.Timer(WHOLE_ATTEMPT_S, _cut, [connection])
    cut.start()
    try:
        connection.sock = (
            ssl.create_default_context().wrap_socket(plain, server_hostname=host)
            if is_secure
            else plain
        )
        connection.request("POST", path, body, headers)
        return connection.getresponse().status
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise NotSent(f"gave no answer: {error}") from None
    finally:
        cut.cancel()
        connection.close()
        plain.close()


def _cut(connection: http.client.HTTPConnection) -> None:
    with suppress(OSError):
        connection.sock.shutdown(socket.SHUT_RDWR)


def checked_address(host: str, port: int) -> str:
    """An address of the host, all of whose addresses are of the open internet.  Raises NotSent."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError) as error:
        raise NotSent(f"its name is not known: {error}") from None
    addresses = [str(one[4][0]) for one in found]
    if not settings.HOOKS_MAY_BE_PRIVATE:
        for address in addresses:
            if not is_open(ipaddress.ip_address(address.partition("%")[0])):
                raise NotSent("its address is not of the open internet")
    return addresses[0]


def is_open(address: Address) -> bool:
    """True for an address anybody can reach, not one that stands for another within."""
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is not None:
            return is_open(address.ipv4_mapped)
        if address.sixtofour is not None or address.teredo is not None or address in _NAT64:
            return False
    return address.is_global and not address.is_multicast
