"""recheck: check the cards in force again with this tool, and say what it says otherwise than when they were released."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from stepwell.cli import layers
from stepwell.cli.console import Console
from stepwell.cli.review.batch import PART_WORDS
from stepwell.cli.review.desk import Desk, add_common, open_desk
from stepwell.cli.tool_then import laid_out, tool_of
from stepwell.compare.between import edits_between
from stepwell.compare.edits import Edit
from stepwell.ledger.kept import kept, kept_sources
from stepwell.ledger.standing import Release, ReleaseState
from stepwell.model.workspace import Workspace
from stepwell.publish.recheck import Rechecked, verdict_changes
from stepwell.render.text.recheck import render_recheck
from stepwell.report.results import CheckReport
from stepwell.source.unit_files import lay_out
from stepwell.source.workspace import load_workspace

SAME_CARD = ("model", "text")


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("recheck", help="check the cards in force again with this tool", description=__doc__)
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Print the report; exit code 1 if a verdict is worse than at the release, 3 if of a card nothing can be told."""
    desk = open_desk(args.unit, console, args.time)
    in_force = [one for one in desk.today.releases if one.state is ReleaseState.IN_FORCE]
    known = {procedure.id for procedure in desk.workspace.procedures}
    report = desk.check({one.subject for one in in_force} & known)
    cards = [_rechecked(desk, release, report, known) for release in in_force]
    console.clear()
    console.write(render_recheck(cards, _rules(desk, in_force), layers.present_tool().version, console.look))
    if any(card.worse for card in cards):
        return 1
    return 3 if any(card.unknown for card in cards) else 0


def _rechecked(desk: Desk, release: Release, report: CheckReport, known: set[str]) -> Rechecked:
    """One card: as it stands in the folder if that is still what was released, or else as its files were kept."""
    if release.subject in known:
        found = _compared(desk, release, desk.workspace, report)
        if not found.unknown:
            return found
    files = kept_sources(desk.root, release.entry)
    if files is None:
        return _unknown(release, "The folder holds something else by now, and its files were not kept at the release.")
    with TemporaryDirectory(prefix="stepwell-") as room:
        loaded = load_workspace(lay_out(files, Path(room)))
    readable = loaded.workspace is not None and any(one.id == release.subject for one in loaded.workspace.procedures)
    if loaded.workspace is None or not readable:
        return _unknown(release, "This tool can't read the files that were kept at the release.")
    from time import monotonic

    from stepwell.report.check import Options, check_workspace

    desk.console.progress(f"Searching every order of {release.subject} {release.version} ...")
    again = check_workspace(
        loaded.workspace, as_of=desk.as_of, clock=monotonic, procedures={release.subject}, options=Options(bites=False)
    )
    return _compared(desk, release, loaded.workspace, again)


def _compared(desk: Desk, release: Release, workspace: Workspace, report: CheckReport) -> Rechecked:
    procedure = next(one for one in workspace.procedures if one.id == release.subject)
    entry = next(one for one in report.procedures if one.procedure == procedure.id)
    from stepwell.publish.build import build_sheet

    now = layers.bound(workspace, procedure, report, build_sheet(workspace, procedure, entry, desk.as_of)).parts
    if any(now[name] != release.part(name) for name in SAME_CARD):
        return _unknown(release, "What this tool reads is not, hash by hash, what was released.")
    then = kept(desk.root, release.part("verdicts"))
    if not isinstance(then, list):
        return _unknown(release, "What the check said at the release was not kept.")
    recorded = {str(one[0]): str(one[1]) for one in then if isinstance(one, list) and len(one) == 2}
    same, changes = verdict_changes(recorded, entry.verdicts)
    parts = tuple(PART_WORDS[name] for name, value in now.items() if release.part(name) != value and name != "verdicts")
    return replace(_unknown(release, ""), same=same, changes=changes, parts=parts)


def _unknown(release: Release, why: str) -> Rechecked:
    return Rechecked(procedure=release.subject, version=release.version, effective=release.effective, unknown=why)


def _rules(desk: Desk, in_force: list[Release]) -> tuple[Edit, ...]:
    """How the rules that come with the tool changed since the newest release; none if that is not known."""
    then = tool_of(desk.root, in_force[-1]) if in_force else None
    if then is None or then.catalogue == layers.present_tool().catalogue:
        return ()
    with TemporaryDirectory(prefix="stepwell-") as room:
        before = load_workspace(desk.root, catalogue=laid_out(then.catalogue, Path(room) / "rules")).workspace
    if before is None:
        return ()
    return edits_between(replace(desk.workspace, rules=before.rules), desk.workspace).edits
