"""Begin and end: the desk, the server, and the address to open."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path

from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.server import Server
from stepwell.report.keep import NOTHING_KEPT, Cache


def serve(
    root: Path, *, host: str, port: int, as_of: date, begun: Callable[[str], None], cache: Cache = NOTHING_KEPT
) -> None:
    """Serve the unit until the keyboard interrupts it. ``begun`` is told the address. Raises OSError."""
    desk = Desk(root=root.resolve(), as_of=as_of, cache=cache)
    with Server(desk, host, port, secrets.token_urlsafe(24)) as server:
        desk.start()
        try:
            begun(server.door.address)
            with suppress(KeyboardInterrupt):
                server.serve_forever(poll_interval=0.2)
        finally:
            desk.stop()
