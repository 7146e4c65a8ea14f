"""preview: the unit's folder as a page on this computer, checked again at every save."""

from __future__ import annotations

import argparse
import os
import signal
import webbrowser

from stepwell.cli import options
from stepwell.cli.cache import cache_of
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import locate_unit
from stepwell.cli.today import today
from stepwell.source.files import shown

RISK = (
    "The page can change the unit's files. Whoever can reach the address and learns its secret part can change them too, and"
    " what is sent is not encrypted."
)


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("preview", help="see the unit as a page, checked at every save", description=__doc__)
    options.add_unit(parser)
    parser.add_argument("--port", type=int, default=0, metavar="N", help="port to listen on (default: any that is free)")
    parser.add_argument("--listen", default="127.0.0.1", metavar="ADDRESS", help="address of this computer to listen on")
    parser.add_argument("--allow-others", action="store_true", help=f"listen where others can reach it. {RISK}")
    parser.add_argument("--no-browser", action="store_true", help="print the address and open nothing")
    options.add_as_of(parser)
    options.add_cache(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Serve until it is stopped with Ctrl+C."""
    from stepwell.authoring.preview.serve import serve

    root = locate_unit(args.workspace)
    _may_listen(args.listen, args.allow_others)
    cache = cache_of(args.cache, args.no_cache, os.environ)

    def begun(address: str) -> None:
        console.note(f"{shown(root)} is shown, and can be changed, at the address below. Stop with Ctrl+C.")
        console.write(f"{address}\n")
        if console.live and not args.no_browser:
            webbrowser.open(address)

    for number in (signal.SIGINT, signal.SIGTERM):  # a shell that puts it in the background lets it ignore the first
        signal.signal(number, signal.default_int_handler)
    try:
        serve(root, host=args.listen, port=args.port, as_of=args.as_of or today(), cache=cache, begun=begun)
    except (OSError, OverflowError) as error:
        raise UsageProblem(f"Port {args.port} of {args.listen} can't be used: {error}.", "Choose another --port.") from error
    return 0


def _may_listen(host: str, allowed: bool) -> None:
    from stepwell.authoring.preview.guard import loopback

    if host in ("", "0.0.0.0", "::"):
        raise UsageProblem("An address that stands for all of this computer's can't be guarded.", "Name one of them.")
    if not loopback(host) and not allowed:
        raise UsageProblem(f"{host} can be reached by others. {RISK}", "Leave --listen out, or add --allow-others.")
