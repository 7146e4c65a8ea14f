"""cards: lay out every procedure as a PDF, and the sheets beside the cards if they are asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.produce import SORTS, Job, add_options, make_cards, make_sheets, make_small_cards, produce
from stepwell.source.read_unit import LANGUAGE

_OUT = "out/cards"


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("cards", help="lay out every procedure as a PDF", description=__doc__)
    add_options(parser, _OUT)
    parser.add_argument(
        "--also",
        type=_sorts,
        metavar="SORTS",
        default=(),
        help=f"also these sheets, with commas between: {', '.join(SORTS)}; or all",
    )
    parser.add_argument(
        "--language", type=_language, metavar="CODE", default="en", help="a language of the unit, such as de (default: en)"
    )
    parser.add_argument(
        "--paper",
        choices=("a4", "a5"),
        default="a4",
        help="a5: the emergency cards alone, each that is one side of A5 by the rules of A4 (default: a4)",
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check, then write one PDF per procedure: the card in force as it was kept at its release, where the folder still
    says what was released, and else a draft."""
    sorts: tuple[str, ...] = args.also
    language: str = args.language
    small: bool = args.paper == "a5"
    if small and sorts:
        raise UsageProblem("The sheets beside the cards are not laid out on A5.", "Leave --also out, or --paper.")
    if args.out == _OUT:  # or the cards that are there would be replaced
        args.out += ("-a5" if small else "") + ("" if language == "en" else f"-{language}")

    def make(job: Job, folder: Path) -> None:
        if small:
            make_small_cards(job, folder, language)
            return
        make_cards(job, folder, language)
        if sorts:
            make_sheets(job, folder, sorts, language)

    return produce(args, console, make)


def _language(text: str) -> str:
    if not LANGUAGE.fullmatch(text):
        raise argparse.ArgumentTypeError(f"{text!r} is no code of a language, such as de")
    return text


def _sorts(text: str) -> tuple[str, ...]:
    """``kit,trainer`` as names of sorts, in the order of the help."""
    asked = {word.strip() for word in text.split(",") if word.strip()}
    unknown = sorted(asked - {*SORTS, "all"})
    if unknown or not asked:
        raise argparse.ArgumentTypeError(f"{', '.join(unknown) or text!r} is none of {', '.join(SORTS)}, all")
    return SORTS if "all" in asked else tuple(sort for sort in SORTS if sort in asked)
