"""Between a phone and the server: a connection, none, a login portal, a newer version."""

from __future__ import annotations

import http.client
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from typing import Literal
from urllib.parse import urlsplit

PORTAL = b"<!doctype html><title>Wi-Fi</title><h1>Sign in to the Wi-Fi</h1>"
_HOP_BY_HOP = {"connection", "keep-alive", "transfer-encoding"}


class Gate:
    """Passes everything on to the server while it is open; counts what went through."""

    def __init__(self, server: str) -> None:
        self.way: Literal["open", "no_signal", "portal"] = "open"
        self.server = urlsplit(server)
        #: Path -> what becomes of its body: another version than the one deployed.
        self.rewritten: dict[str, Callable[[bytes], bytes]] = {}
        #: Bytes of answers as they travelled, by path.
        self.sent: dict[str, int] = {}
        gate = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def log_message(self, *_arguments: object) -> None:
                """Nothing is logged."""

            def handle_any(self) -> None:
                gate.answer(self)

            do_GET = do_POST = do_PUT = do_DELETE = handle_any  # noqa: N815 - their names there

        self._listening = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._listening.daemon_threads = True
        self.address = f"http://127.0.0.1:{self._listening.server_address[1]}"
        Thread(target=self._listening.serve_forever, daemon=True).start()

    def close(self) -> None:
        """Listen no more."""
        self._listening.shutdown()
        self._listening.server_close()

    def answer(self, request: BaseHTTPRequestHandler) -> None:
        """One request, as the way is now."""
        body = request.rfile.read(int(request.headers.get("Content-Length") or 0))
        if self.way == "no_signal":
            request.close_connection = True
        elif self.way == "portal":
            self._reply(request, 200, {"Content-Type": "text/html"}, PORTAL)
        else:
            self._pass_on(request, body)

    def _pass_on(self, request: BaseHTTPRequestHandler, body: bytes) -> None:
        headers = {k: v for k, v in request.headers.items() if k.lower() not in _HOP_BY_HOP}
        path = urlsplit(request.path).path
        if path in self.rewritten:
            headers.pop("Accept-Encoding", None)
            headers.pop("If-None-Match", None)
            headers.pop("If-Modified-Since", None)
        behind = http.client.HTTPConnection(self.server.hostname or "", self.server.port)
        behind.request(request.command, request.path, body, headers)
        answer = behind.getresponse()
        content = answer.read()
        behind.close()
        if path in self.rewritten:
            content = self.rewritten[path](content)
        self.sent[path] = self.sent.get(path, 0) + len(content)
        passed = {k: v for k, v in answer.getheaders() if k.lower() not in _HOP_BY_HOP}
        self._reply(
            request, answer.status, passed, content, cookies=answer.msg.get_all("Set-Cookie")
        )

    @staticmethod
    def _reply(
        request: BaseHTTPRequestHandler,
        status: int,
        headers: dict[str, str],
        content: bytes,
        *,
        cookies: list[str] | None = None,
    ) -> None:
        request.send_response_only(status)
        for name, value in headers.items():
            if name.lower() not in {"content-length", "set-cookie"}:
                request.send_header(name, value)
        for cookie in cookies or []:
            request.send_header("Set-Cookie", cookie)
        request.send_header("Content-Length", str(len(content)))
        request.end_headers()
        request.wfile.write(content)
