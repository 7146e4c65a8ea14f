"""Who may ask for what: only this computer's browser, only with the address that was printed, only from that very page."""

from __future__ import annotations

import hmac
from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import ip_address

LARGEST_BODY = 256 * 1024
"""Bytes of the largest request; one edit is a few hundred."""

HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
"""Sent with every answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """Where the page is served, and the secret part of its address."""

    host: str
    port: int
    token: str

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names under which a browser may call: anything else is another site's name that leads here."""
        shown = f"[{self.host}]" if ":" in self.host else self.host
        names = (shown, "localhost") if loopback(self.host) else (shown,)
        return tuple(f"{name}:{self.port}" for name in names)

    @property
    def address(self) -> str:
        """What to open."""
        return f"http://{self.hosts[0]}/{self.token}/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why a request is not answered: a status of HTTP and a sentence."""

    status: int
    why: str


def loopback(host: str) -> bool:
    """True if nobody but this computer can reach the address."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def refusal(door: Door, method: str, path: str, headers: Mapping[str, str]) -> Refused | None:
    """Why this request is refused, or None. ``path`` is as it was sent; ``headers`` go by small letters."""
    if headers.get("host", "").lower() not in door.hosts:
        return Refused(status=403, why="This address is not the one that was printed when the preview began.")
    given = path.split("?", 1)[0].split("/")[1:2]
    if not hmac.compare_digest((given[0] if given else "").encode(), door.token.encode()):
        return Refused(status=404, why="There is nothing here. Open the address that was printed.")
    origin = headers.get("origin")
    if origin is not None and origin.lower() not in {f"http://{host}" for host in door.hosts}:
        return Refused(status=403, why="Another page asked for this; nothing was done.")
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return Refused(status=403, why="Another page asked for this; nothing was done.")
    if method == "GET":
        return None
    return _refused_write(origin, headers)


def _refused_write(origin: str | None, headers: Mapping[str, str]) -> Refused | None:
    if origin is None:
        return Refused(status=403, why="Only the page itself may change anything.")
    if headers.get("content-type", "").split(";")[0].strip() != "application/json":
        return Refused(status=415, why="A change is sent as JSON.")
    length = headers.get("content-length", "")
    if "transfer-encoding" in headers or not length.isascii() or not length.isdigit():
        return Refused(status=411, why="A change says how long it is.")
    if len(length) > 12 or int(length) > LARGEST_BODY:
        return Refused(status=413, why=f"A change has at most {LARGEST_BODY // 1024} kB.")
    return None
