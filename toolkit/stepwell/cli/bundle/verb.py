"""bundle: one folder for a shared drive, from which a Windows PC runs the tool without an installation or a network."""

from __future__ import annotations

import argparse
from pathlib import Path

from stepwell.cli.console import Console


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("bundle", help="make a folder that runs on Windows without installing", description=__doc__)
    parser.add_argument("out", metavar="OUT", help="the folder to make")
    parser.add_argument(
        "--python", metavar="ZIP", required=True, help="Python's embeddable package for Windows, 64-bit, as downloaded"
    )
    source = parser.add_mutually_exclusive_group(required=True)
    source.add_argument("--wheels", metavar="DIR", help="take the wheels from this folder; no network is used")
    source.add_argument("--download", action="store_true", help="let pip fetch the wheels, with your own pip settings")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Get the wheels aside, lay the folder out, and move it into place."""
    import tempfile

    from stepwell.cli.bundle.layout import lay_out
    from stepwell.cli.bundle.python_zip import read_python
    from stepwell.cli.bundle.wheels import folder_of_wheels, resolve
    from stepwell.cli.place import place_folder
    from stepwell.resources import PACKAGE, requirements
    from stepwell.source.files import shown

    python = read_python(Path(args.python))
    wheels_from = None if args.download else folder_of_wheels(Path(args.wheels))
    out = Path(args.out).absolute()
    with tempfile.TemporaryDirectory(prefix="stepwell-bundle-") as room:
        console.progress("Getting the wheels for Windows ...")
        wheels = resolve(requirements(), python.version, wheels_from, Path(room))
        console.progress("Laying out the folder ...")
        place_folder(out, PACKAGE, lambda aside: lay_out(aside, python, wheels))
    console.note(f"Wrote Python {python.version}, {len(wheels)} packages, stepwell and the demo unit to {shown(out)}.")
    console.note("It was not run on Windows here. Try it there once: START-HERE.txt in it says how.")
    return 0
