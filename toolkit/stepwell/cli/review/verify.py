"""verify: what the ledger shows of a unit, of a PDF or of the code on a card, and what it can't show."""

from __future__ import annotations

import argparse
import hashlib
import re
from pathlib import Path

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.desk import Desk, add_common, open_desk
from stepwell.cli.review.recall import codes
from stepwell.ledger.batch import SAME
from stepwell.ledger.chain import head_problems
from stepwell.ledger.entry import POLICY
from stepwell.ledger.kept import kept_problems, text_problems
from stepwell.ledger.policy import policy_hash
from stepwell.ledger.problems import CHANGED_SINCE, MADE_OTHERWISE, POLICY_NOT_AGREED, Problem
from stepwell.ledger.recall import due_problems
from stepwell.ledger.standing import Release, ReleaseState
from stepwell.ledger.store import card_problems

_CODE = re.compile(r"(?:stepwell:(?P<id>[a-z0-9-]+)@(?P<version>[^#]+)#)?(?P<hash>[0-9a-f]{12,64})")

OTHER_WORDS = ("translations", "labels")
"""The parts that hold what is printed in other languages."""
LIMITS = (
    "Shown: nothing that stands in this ledger was changed after it was written; whose key signed, or who entered it from"
    " minutes.",
    "Not shown: who held the key; when it really was; that nothing was cut off at the end, unless you compare the head with"
    " one noted elsewhere (--head); that a card that hangs somewhere is this one, unless you compare its code; that what"
    " was approved is right.",
)


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("verify", help="say what the ledger shows of a unit, a PDF or a code", description=__doc__)
    parser.add_argument("thing", nargs="?", metavar="THING", help="a PDF, or the code on a card; without it, the unit")
    parser.add_argument("--head", action="append", default=[], metavar="HASH", help="a head that was noted elsewhere")
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Print the answer; exit code 0 only if it is a plain yes."""
    thing = args.thing
    folder = args.unit
    if thing is not None and Path(thing).is_dir():
        folder, thing = thing, None
    desk = open_desk(folder, console, args.time)
    problems = (*desk.today.problems, *head_problems(desk.chain, args.head))
    if thing is None:
        return _unit(desk, problems)
    if Path(thing).is_file():
        return _pdf(desk, Path(thing), problems)
    return _code(desk, thing, problems)


def answer(release: Release, language: str = "en") -> tuple[str, int]:
    """What the card of a release in a language is today, in words, with the exit code."""
    name = f"{release.subject} {release.version}" + ("" if language == "en" else f" in the language {language}")
    match release.state:
        case ReleaseState.IN_FORCE:
            review = f", to be reviewed by {release.review.isoformat()}" if release.review else ""
            return f"YES: {name} is in force since {release.effective.isoformat()}{review}.", 0
        case ReleaseState.REPRINTED:
            return f"YES: {name} is in force. It was laid out anew since, and says the same.", 0
        case ReleaseState.TO_COME:
            return f"NO: {name} is released, but counts only from {release.effective.isoformat()}.", 1
        case ReleaseState.SUPERSEDED:
            return f"NO: {name} is superseded. Take it down.", 1
        case ReleaseState.WITHDRAWN:
            return f"NO: {name} is withdrawn. Take it down. Reason: {release.withdrawn}", 1
        case ReleaseState.DISPUTED:
            return f"CANNOT TELL: {name} and another release were made side by side. Ask the committee.", 1


def _unit(desk: Desk, problems: tuple[Problem, ...]) -> int:
    console = desk.console
    heads = ", ".join(desk.chain.heads) or "none"
    console.note(f"{len(desk.chain.entries)} entries. Head: {heads}")
    found = [*problems, *card_problems(desk.root, desk.today.releases), *kept_problems(desk.root)]
    found += [*text_problems(desk.root, desk.today.releases), *_changed(desk)]
    found += due_problems(desk.today, desk.workspace.unit.places, desk.as_of)
    for procedure in desk.workspace.procedures:
        newest = desk.today.in_force(procedure.id) or desk.today.newest(procedure.id)
        if newest is None:
            console.note(f"{procedure.id}: not released.")
        else:
            votes = f"{newest.signed} signed, {newest.recorded} recorded and not signed"
            console.note(f"{procedure.id}: {newest.version} {newest.state}, {codes(newest)} ({votes}).")
    for waiting in desk.today.proposals:
        missing = ", ".join(f"{seat.count} x {seat.role}" for seat in waiting.tally.missing) or "nothing"
        name = f"{waiting.subject} {waiting.version}".rstrip()
        console.note(f"Waiting: {name}, proposed by {waiting.author}. Still missing: {missing}.")
    for problem in dict.fromkeys(found):
        finding = problem.finding()
        console.note(f"{finding.signal}: {finding.message} [{finding.code} {finding.rule}] {finding.mend}")
    for line in LIMITS:
        console.note(line)
    return 1 if any(problem.fault.severity > CHANGED_SINCE.severity for problem in found) else 0


def _changed(desk: Desk) -> list[Problem]:
    """What in the folder is no longer what is in force."""
    found: list[Problem] = []
    review = desk.workspace.unit.review
    if review is not None and desk.today.policy is not None and policy_hash(review) != desk.today.policy_content:
        found.append(POLICY_NOT_AGREED.at(POLICY))
    for procedure in desk.workspace.procedures:
        release = desk.today.in_force(procedure.id)
        if release is None:
            continue
        now = desk.subject(procedure.id)
        parts = [name for name, value in now.parts.items() if release.part(name) != value]
        if now.content != release.content:
            # A release of before there were labels says nothing of them, so they did not change since.
            said = {*parts} & {*SAME, *(name for name in OTHER_WORDS if release.part(name))}
            fault = CHANGED_SINCE if now.version != release.version or said else MADE_OTHERWISE
            found.append(fault.at(procedure.id, f"Changed: {', '.join(parts)}.", procedure.id))
    return found


def _pdf(desk: Desk, path: Path, problems: tuple[Problem, ...]) -> int:
    found = hashlib.sha256(path.read_bytes()).hexdigest()
    known = [(one, code) for one in desk.today.releases for code in one.languages if one.pdf_in(code) == found]
    if not known:
        told = f"NO: {path.name} is not, byte for byte, a card that this ledger released."
        desk.console.note(f"{told} It is a draft, was altered, or is from another ledger.")
        return 1
    return _told(desk, known[-1], problems)


def _code(desk: Desk, text: str, problems: tuple[Problem, ...]) -> int:
    asked = _CODE.fullmatch(text.strip().lower())
    if asked is None:
        raise UsageProblem(f"{text!r} is no file, and no code of a card.", "A code has twelve characters, 0-9 and a-f.")
    known = [
        (release, language)
        for release in desk.today.releases
        if asked["id"] in (None, release.subject)
        for language in release.languages
        if release.text_in(language).startswith(asked["hash"])
    ]
    if not known:
        desk.console.note("NO: no released card has this code. It is a draft, or from another ledger.")
        return 1
    return _told(desk, known[-1], problems)


def _told(desk: Desk, card: tuple[Release, str], problems: tuple[Problem, ...]) -> int:
    release, language = card
    bad = [problem for problem in problems if problem.fault.severity > CHANGED_SINCE.severity]
    bad += [one for one in text_problems(desk.root, (release,)) if language != "en"]
    words, code = answer(release, language)
    if bad and code == 0:
        words = words.replace("YES:", "CANNOT TELL: something is wrong with the ledger; by what is left,", 1)
        code = 1
    desk.console.note(words)
    for problem in bad:
        desk.console.note(f"{problem.fault.summary} {problem.detail}")
    return code
