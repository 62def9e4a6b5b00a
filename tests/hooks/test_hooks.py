"""Other programs are told what they want, signed, and nobody within our network ever is."""

import base64
import hashlib
import hmac
import ipaddress
import json
import socket
import threading
from collections.abc import Iterator
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest
from django.conf import LazySettings
from django.core.management import call_command
from django.utils import timezone

from inspect_app.hooks.models import Delivery, Hook
from inspect_app.hooks.sending import checked_address, is_open, send_due, wait_after
from tests.engine.mutation import GOOD
from tests.phone import Caller, send_record

pytestmark = pytest.mark.django_db


class Listener:
    """A real program at a real port, which answers as it is told to."""

    def __init__(self) -> None:
        self.heard: list[tuple[str, dict[str, str], bytes]] = []
        self.status = 204
        listener = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"]))
                listener.heard.append((self.path, dict(self.headers), body))
                self.send_response(listener.status)
                if listener.status == 302:
                    self.send_header("Location", f"{listener.url}elsewhere")
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *_: object) -> None:
                return

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self.server.server_port}/told?by=us"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()


@pytest.fixture
def listener(settings: LazySettings) -> Iterator[Listener]:
    settings.HOOKS_MAY_BE_PRIVATE = True
    listener = Listener()
    yield listener
    listener.server.shutdown()
    listener.server.server_close()


def add(caller: Caller, url: str, *events: str) -> dict[str, Any]:
    answer = caller.post("/api/hooks", {"url": url, "events": list(events)})
    assert answer.status_code == 200, answer.content
    return answer.json()


def queued(caller: Caller, url: str = "https://example.org/told") -> Delivery:
    """One event that waits, without a whole inspection behind it."""
    hook = Hook.objects.create(
        organisation=caller.member.organisation,
        url=url,
        events=["report.issued"],
        secret="whsec_" + base64.b64encode(b"k" * 32).decode(),
    )
    return Delivery.objects.create(
        organisation=hook.organisation,
        hook=hook,
        event="report.issued",
        subject="0190a0a0-0000-7000-8000-000000000001",
        body='{"type":"report.issued"}',
    )


def test_an_issued_report_and_a_high_risk_are_told_once_and_signed(
    owner: Caller, stranger: Caller, listener: Listener
) -> None:
    hook = add(owner, listener.url, "report.issued", "inspection.high_risk")
    add(stranger, listener.url, "report.issued", "inspection.high_risk")
    walk = send_record(owner, GOOD["everything_wrong"])
    for _ in range(2):  # the same again is the report already issued
        issued = owner.post(f"/api/inspections/{walk}/reports").json()
    call_command("send_hooks")
    call_command("send_hooks")
    told = {json.loads(body)["type"]: json.loads(body)["data"] for _, _, body in listener.heard}
    assert len(listener.heard) == 2
    assert told["report.issued"]["id"] == issued["id"]
    assert told["report.issued"]["sha256"] == issued["sha256"]
    assert told["inspection.high_risk"]["inspection"] == walk
    path, headers, body = listener.heard[0]
    assert path == "/told?by=us"
    # as the Standard Webhooks say, worked out here by hand
    key = base64.b64decode(hook["secret"].removeprefix("whsec_"))
    signed = f"{headers['webhook-id']}.{headers['webhook-timestamp']}.".encode() + body
    wanted = base64.b64encode(hmac.new(key, signed, hashlib.sha256).digest()).decode()
    assert headers["webhook-signature"] == f"v1,{wanted}"
    listed = owner.get("/api/hooks").json()
    assert "secret" not in json.dumps(listed["hooks"])
    assert [one["said"] for one in listed["latest"]] == ["answered 204"] * 2
    assert stranger.get("/api/hooks").json()["latest"] == []


def test_a_sound_machine_and_an_unwanted_event_are_not_told(
    owner: Caller, listener: Listener
) -> None:
    add(owner, listener.url, "inspection.high_risk")
    walk = send_record(owner, GOOD["nearly_new"])
    assert owner.post(f"/api/inspections/{walk}/reports").status_code == 200
    assert Delivery.objects.count() == 0


@pytest.mark.parametrize(("status", "said"), [(500, "answered 500"), (302, "answered 302")])
def test_what_is_not_taken_is_tried_again_later_and_never_elsewhere(
    status: int, said: str, owner: Caller, listener: Listener
) -> None:
    listener.status = status
    delivery = queued(owner, listener.url)
    now = timezone.now()
    assert send_due(now) == 1
    assert send_due(now) == 0
    delivery.refresh_from_db()
    assert (delivery.said, delivery.done_at, delivery.attempts) == (said, None, 1)
    assert delivery.next_try_at == now + timedelta(minutes=1)
    assert [path for path, _, _ in listener.heard] == ["/told?by=us"]
    listener.status = 200
    assert send_due(now + timedelta(minutes=1)) == 1
    delivery.refresh_from_db()
    assert (delivery.said, delivery.next_try_at) == ("answered 200", None)
    assert listener.heard[0][1]["webhook-id"] == listener.heard[1][1]["webhook-id"]


def test_nobody_there_is_given_up_after_eight_attempts_over_four_days(
    owner: Caller, settings: LazySettings
) -> None:
    settings.HOOKS_MAY_BE_PRIVATE = True
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        delivery = queued(owner, f"http://127.0.0.1:{free.getsockname()[1]}/")
    start = now = timezone.now()
    for _ in range(8):
        assert send_due(now) == 1
        delivery.refresh_from_db()
        now = delivery.next_try_at or now
    assert delivery.next_try_at is None
    assert delivery.said.startswith("cannot be reached")
    # 1 + 4 + 16 + … + 4^6 minutes = (4^7 − 1) ÷ 3 = 5461
    assert now - start == timedelta(minutes=5461)
    assert wait_after(8) is None


@pytest.mark.parametrize(
    "address",
    ["127.0.0.1", "10.1.2.3", "172.16.0.1", "192.168.1.1", "169.254.169.254", "100.64.0.1",
     "0.0.0.1", "224.0.0.1", "255.255.255.255", "192.0.2.1", "::1", "::", "fe80::1", "fc00::1",
     "ff02::1", "::ffff:127.0.0.1", "::ffff:10.0.0.1", "64:ff9b::7f00:1", "2002:7f00:1::1",
     "2001:0:4136:e378:8000:63bf:3fff:fdd2", "2001:db8::1"],
)  # fmt: skip
def test_an_address_within_is_never_open(address: str) -> None:
    assert not is_open(ipaddress.ip_address(address))


@pytest.mark.parametrize("address", ["93.184.216.34", "2606:2800:220:1::1", "::ffff:8.8.8.8"])
def test_an_address_of_the_open_internet_is(address: str) -> None:
    assert is_open(ipaddress.ip_address(address))


def names(monkeypatch: pytest.MonkeyPatch, *addresses: str) -> list[Any]:
    """The network says these; where connections go to is noted, and none is made."""
    asked: list[Any] = []
    found = [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (one, 443)) for one in addresses]

    def connect(place: Any, *_: Any) -> None:
        asked.append(place)
        raise OSError("not in a test")

    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: found)
    monkeypatch.setattr(socket, "create_connection", connect)
    return asked


def test_one_address_within_among_others_is_enough_to_send_nothing(
    owner: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = names(monkeypatch, "93.184.216.34", "10.0.0.7")
    delivery = queued(owner)
    send_due()
    delivery.refresh_from_db()
    assert delivery.said == "its address is not of the open internet"
    assert asked == []


def test_the_connection_goes_to_the_address_that_was_looked_at(
    owner: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = names(monkeypatch, "93.184.216.34")
    queued(owner)
    send_due()
    assert asked == [("93.184.216.34", 443)]
    assert checked_address("example.org", 443) == "93.184.216.34"


@pytest.mark.parametrize(
    "url",
    ["", "http://example.org/", "ftp://example.org", "https://", "https://a:b@example.org/",
     "https://example.org:99999/", "https://example.org/\r\nX: y", "https://exämple.org/",
     "javascript:alert(1)", "https://example.org/ x"],
)  # fmt: skip
def test_an_address_that_is_none_is_refused(url: str, owner: Caller) -> None:
    answer = owner.post("/api/hooks", {"url": url, "events": ["report.issued"]})
    assert answer.status_code == 400
    assert "url" in answer.json()["fields"]


def test_only_who_manages_adds_and_takes_away(
    owner: Caller, colleague: Caller, stranger: Caller
) -> None:
    body = {"url": "https://example.org/", "events": ["report.issued"]}
    assert colleague.post("/api/hooks", body).status_code == 403
    assert colleague.get("/api/hooks").status_code == 403
    hook = add(owner, "https://example.org/", "report.issued")
    for caller, status in ((colleague, 403), (stranger, 404), (owner, 204), (owner, 404)):
        assert caller.call("delete", f"/api/hooks/{hook['id']}").status_code == status
    wrong = owner.post("/api/hooks", {"url": 1, "events": ["everything"]}).json()
    assert set(wrong["fields"]) == {"url", "events"}
