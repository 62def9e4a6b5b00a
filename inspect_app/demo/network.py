"""Under which addresses others in the same network reach a server of this machine."""

import ipaddress
import socket

THIS_MACHINE = "127.0.0.1"
# Documentation only (RFC 5737): choosing the way to it sends nothing.
_SOMEWHERE_ELSE = ("192.0.2.1", 9)


def addresses_for_others(host: str) -> list[str]:
    """What a phone types where `host` is listened at; nothing where only this machine reaches it.

    All addresses (0.0.0.0 or ::) stand for the one this machine goes out by.
    """
    address = _ip_of(host)
    if address is None:
        return [] if host == "localhost" else [host]
    if address.is_loopback:
        return []
    return [host] if not address.is_unspecified else _own_addresses()


def url_of(host: str, port: int) -> str:
    """The address of a page, IPv6 in brackets."""
    return f"http://{in_brackets(host)}:{port}/"


def in_brackets(host: str) -> str:
    """As a URL and a Host header write it."""
    return f"[{host}]" if ":" in host else host


def _ip_of(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None


def _own_addresses() -> list[str]:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_SOMEWHERE_ELSE)
        except OSError:
            return []  # no network at all
        own: str = probe.getsockname()[0]
    return [own]
