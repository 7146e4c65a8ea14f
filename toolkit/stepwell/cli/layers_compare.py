"""The calls of ``compare`` into the layers below, imported at the call."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.revision import Version, other_files
from stepwell.diagnostics.finding import Finding

if TYPE_CHECKING:
    from stepwell.compare.between import Between
    from stepwell.compare.results import Comparison
    from stepwell.compare.tool import Tool as ComparedTool
    from stepwell.model.workspace import Workspace
    from stepwell.publish.bound import Tool
    from stepwell.publish.sheet import Sheet
    from stepwell.report.results import ProcedureReport
    from stepwell.slips.results import SlipReport
    from stepwell.source.workspace import Loaded


def load(version: Version, console: Console, rules: Path | None = None) -> Loaded:
    """Read one side. ``rules`` is the folder of the rules that come with the tool (default: this tool's)."""
    from stepwell.source.workspace import load_workspace

    console.progress(f"Reading {version.name} ...")
    return load_workspace(version.root, catalogue=rules)


def load_old(
    version: Version, console: Console, as_of: date, room: Path, rules: str | None = None
) -> tuple[Loaded, Tool | None, tuple[str, ...]]:
    """The older side, judged by the rules of the tool that its last release was made with, where they were kept.

    ``rules`` names the folder of those rules instead. With what could not be read, in words: rules that this tool does
    not understand any more are left aside. Raises UsageProblem for a folder without rules.
    """
    from stepwell.cli.layers import present_tool
    from stepwell.cli.tool_then import laid_out, tool_then

    loaded = load(version, console)
    if rules is not None:
        folder = Path(rules)
        if not any(folder.glob("*.yaml")):
            raise UsageProblem(f"There are no rules in {rules}.", "Name the folder `rules/catalogue` of the other tool.")
        return load(version, console, folder), None, ()
    if version.file is not None or loaded.workspace is None:
        return loaded, None, ()
    then = tool_then(version.root, loaded.workspace, as_of)
    if then is None or then.catalogue == present_tool().catalogue:
        return loaded, then, ()
    by_them = load(version, console, laid_out(then.catalogue, room))
    if any(finding.unusable for finding in by_them.findings):
        return loaded, then, (f"the rules of {then.version}, with which the older cards were released",)
    return by_them, then, ()


def compare(
    versions: tuple[Version, Version],
    loaded: tuple[Loaded, Loaded],
    *,
    as_of: date,
    slips: bool,
    console: Console,
    then: Tool | None = None,
) -> Comparison:
    """Compare two versions; where files were named, only these. ``then`` is what the older cards were made with."""
    from stepwell.cli.layers import present_tool
    from stepwell.compare.between import edits_between
    from stepwell.compare.meaning import Side, affected
    from stepwell.compare.meaning import compare as whole
    from stepwell.compare.worth import slips_worth_comparing

    one, two = (side.workspace for side in loaded)
    assert one is not None
    assert two is not None
    files = tuple(other_files(version.root) if version.file is None else () for version in versions)
    tools = (_tool(then), _tool(present_tool() if then else None))
    between = edits_between(one, two, (files[0], files[1]), tools)
    unread: tuple[str, ...] = ()
    if versions[0].file is not None:
        between, unread = _only(between, versions, (one, two))
    touched = affected(between, one, two)
    checked = [
        _checked(version, side, names, console) for version, side, names in zip(versions, (one, two), touched, strict=True)
    ]
    wanted = slips_worth_comparing(between, (one, two), (checked[0], checked[1])) if slips else ((), ())
    printed = [{one.language: sheets(side, as_of, one.language) for one in side.translations} for side in (one, two)]
    sides = [
        Side(
            name=version.name,
            workspace=side,
            files=texts,
            checked=found_orders,
            slips=_slips(version, side, names, console),
            hashes={sheet.id: sheet.hash for sheet in sheets(side, as_of)},
            translated={code: {sheet.id: sheet.hash for sheet in found} for code, found in others.items()},
            whole={code: frozenset(one.id for one in found if not one.in_english) for code, found in others.items()},
            tool=tool,
        )
        for version, side, texts, found_orders, names, tool, others in zip(
            versions, (one, two), files, checked, wanted, tools, printed, strict=True
        )
    ]
    found = whole(sides[0], sides[1], as_of=as_of, between=between, slips=slips)
    console.clear()
    if versions[0].file is not None:
        named = {name for _, name in _documents(versions, (one, two))}
        found = replace(found, cards=tuple(card for card in found.cards if card.procedure in named))
    return replace(found, unread=unread)


def _tool(tool: Tool | None) -> ComparedTool | None:
    from stepwell.compare.tool import Tool as Compared

    return None if tool is None else Compared(version=tool.version, template=tuple(tool.template.items()))


def _checked(version: Version, workspace: Workspace, names: frozenset[str], console: Console) -> dict[str, ProcedureReport]:
    from stepwell.report.check import Options, check_procedure

    found: dict[str, ProcedureReport] = {}
    for procedure in workspace.procedures:
        if procedure.id in names:
            console.progress(f"{version.name}: searching the orders of {procedure.title} ...")
            found[procedure.id] = check_procedure(workspace, procedure, clock=monotonic, options=Options(bites=False))
    return found


def _slips(version: Version, workspace: Workspace, names: tuple[str, ...], console: Console) -> dict[str, SlipReport]:
    from stepwell.slips.find import find_slips

    found: dict[str, SlipReport] = {}
    for procedure in workspace.procedures:
        if procedure.id in names:
            console.progress(f"{version.name}: trying single slips in {procedure.title} ...")
            report = find_slips(workspace, procedure, clock=monotonic)
            if report is not None:
                found[procedure.id] = report
    return found


def sheets(workspace: Workspace, as_of: date, language: str = "en") -> tuple[Sheet, ...]:
    """What is printed on each card in a language, whatever its check says."""
    from stepwell.cli.layers import sheets as printed
    from stepwell.report.results import CheckReport

    return printed(workspace, CheckReport(as_of=as_of, procedures=(), findings=()), as_of, language)


def _documents(versions: tuple[Version, Version], sides: tuple[Workspace, Workspace]) -> list[tuple[str, str]]:
    """Kind and id of what the named files hold."""
    from pathlib import Path

    from stepwell.compare.documents import identity

    found: list[tuple[str, str]] = []
    for version, workspace in zip(versions, sides, strict=True):
        assert version.file is not None
        real = version.file.resolve()
        named = [("procedure", one.id, one.path) for one in workspace.procedures]
        named += [("rig", one.id, one.path) for one in workspace.rigs]
        named += [("rule", one.name, one.path) for one in workspace.rules]
        named += [("waiver", identity(one), one.path) for one in workspace.waivers]
        found += [(kind, name) for kind, name, path in named if path and Path(path).resolve() == real]
        if version.file.name in ("unit.yaml", "terms.yaml"):
            found.append(("unit", "unit"))
    return found


def _only(
    between: Between, versions: tuple[Version, Version], sides: tuple[Workspace, Workspace]
) -> tuple[Between, tuple[str, ...]]:
    """The edits of the named files alone, and a line that says how many others there are."""
    wanted = {f"{kind} {name}" for kind, name in _documents(versions, sides)}
    kept = tuple(edit for edit in between.edits if edit.document in wanted)
    names = {name.partition(" ")[2] for name in wanted}
    rest = len(between.edits) - len(kept)
    only = replace(
        between,
        edits=kept,
        undisclosed=tuple(one for one in between.undisclosed if one in wanted),
        steps=tuple(one for one in between.steps if one[0] in names),
    )
    return only, (f"{rest} changes in other files of the two units, which were not asked for",) if rest else ()


def rendered(found: Comparison, new: Workspace, form: str, console: Console) -> bytes:
    """The comparison in one of the formats. All but the text, which is for one screen, hold the new cards in full."""
    from stepwell import __version__

    if form == "text":
        from stepwell.render.compare.text import render_compare

        return render_compare(found, console.look).encode()
    from stepwell.render.compare.copy import copies_of

    languages = ("en", *sorted({code for card in found.cards for code in (card.language, *card.also) if code}))
    copies = copies_of(found, [sheet for one in languages for sheet in sheets(new, found.as_of, one)])
    if form == "json":
        from stepwell.render.compare.document import render_compare_json

        return render_compare_json(found, copies, version=__version__).encode()
    if form == "markdown":
        from stepwell.render.compare.markdown import render_compare_markdown

        return render_compare_markdown(found, copies).encode()
    if form == "html":
        from stepwell.render.compare.page import render_compare_page

        return render_compare_page(found, copies).encode()
    from stepwell.render.compare.packet import render_packet

    console.progress("Laying out the packet ...")
    return render_packet(found, copies)


def called(findings: tuple[Finding, ...], version: Version) -> list[Finding]:
    """Findings whose places are called as the version was, not by the folder that it was laid out in for a moment."""
    from stepwell.source.files import shown

    here = shown(version.root)
    name = version.name.rstrip("/") if version.file is None else version.name.partition(":")[0] + ":"
    joint = "" if name.endswith(":") else "/"
    found: list[Finding] = []
    for finding in findings:
        span = finding.span
        if span is not None and version.made and span.path.startswith(here + "/"):
            span = replace(span, path=f"{name}{joint}{span.path[len(here) + 1 :]}")
        found.append(replace(finding, span=span))
    return found


def unreadable(findings: list[Finding], as_of: date, console: Console) -> str:
    """What could not be read, as ``check`` would tell it."""
    from stepwell.render.text.check_report import render_findings
    from stepwell.report.results import CheckReport

    return render_findings(CheckReport(as_of=as_of, procedures=(), findings=tuple(findings)), console.look)
