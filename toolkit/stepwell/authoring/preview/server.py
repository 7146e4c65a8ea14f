"""The server on this computer: one thread per request, a stream of news, and a refusal of whatever is not the page."""

from __future__ import annotations

from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from socket import AF_INET, AF_INET6
from urllib.parse import parse_qs, unquote, urlsplit

from stepwell.authoring.preview.answers import Answer, answer, refused
from stepwell.authoring.preview.changes import change
from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.guard import HEADERS, Door, refusal

BEAT = 15.0
"""Seconds after which the stream says that it is still there."""


class Server(ThreadingHTTPServer):
    """Listens on one address of this computer."""

    daemon_threads = True
    allow_reuse_address = False

    def __init__(self, desk: Desk, host: str, port: int, token: str) -> None:
        self.address_family = AF_INET6 if ":" in host else AF_INET
        super().__init__((host, port), Handler)
        self.desk = desk
        self.door = Door(host=host, port=self.server_address[1], token=token)

    def server_bind(self) -> None:
        """Bind without asking for this computer's name, which may take long and is not needed."""
        self.socket.bind(self.server_address)
        self.server_address = self.socket.getsockname()


class Handler(BaseHTTPRequestHandler):
    """One connection."""

    protocol_version = "HTTP/1.1"
    server_version = "stepwell"
    sys_version = ""
    timeout = 60
    server: Server
    error_content_type = "text/plain; charset=utf-8"
    error_message_format = "%(message)s\n"

    def do_GET(self) -> None:
        """A page, a part of it, or the stream of news."""
        path = self._path("GET")
        if path is None:
            return
        if path == "news":
            self._news()
            return
        self._send(answer(self.server.desk, path))

    def do_POST(self) -> None:
        """A change."""
        path = self._path("POST")
        if path is None:
            return
        length = int(self.headers["Content-Length"])
        body = self.rfile.read(length)
        if len(body) < length:
            # The page went away in the middle: half a request is none.
            self.close_connection = True
            return
        self._send(change(self.server.desk, path, body))

    def _path(self, method: str) -> str | None:
        """What is asked for, below the secret part; None if the request has been refused."""
        given = {name.lower(): value for name, value in self.headers.items()}
        found = refusal(self.server.door, method, self.path, given)
        if found is not None:
            self.close_connection = True
            self._send(refused(found.status, found.why))
            return None
        return unquote(urlsplit(self.path).path.split("/", 2)[2] if self.path.count("/") > 1 else "\0")

    def _send(self, found: Answer) -> None:
        self.send_response(found.status)
        for name, value in HEADERS.items():
            self.send_header(name, value)
        self.send_header("Content-Type", found.sort)
        self.send_header("Content-Length", str(len(found.body)))
        if self.close_connection:
            self.send_header("Connection", "close")
        self.end_headers()
        self.wfile.write(found.body)

    def _news(self) -> None:
        """Tell the count of news at each change, until the page goes away."""
        query = parse_qs(urlsplit(self.path).query)
        text = (query.get("since") or ["0"])[0]
        since = int(text) if text.isdigit() and len(text) < 12 else 0
        self.close_connection = True
        self.send_response(200)
        for name, value in HEADERS.items():
            self.send_header(name, value)
        self.send_header("Content-Type", "text/event-stream")
        self.send_header("Connection", "close")
        self.end_headers()
        desk = self.server.desk
        try:
            while not desk.stopped:
                now = desk.wait(since, BEAT)
                self.wfile.write(f"data: {now}\n\n".encode() if now > since else b": still here\n\n")
                self.wfile.flush()
                since = now
        except OSError:
            return

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the terminal is the author's."""
