"""The pages of the site: which there are, and what each one's template is given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from functools import partial

from jinja2 import Environment

from stepwell.diagnostics.severity import Severity
from stepwell.model.language import Language
from stepwell.model.procedure import Procedure
from stepwell.model.rule import Rule
from stepwell.publish.notice import notice_lines
from stepwell.publish.numbering import marks_of
from stepwell.publish.sheet import Sheet, lines_of, spoken
from stepwell.publish.status import say_rule
from stepwell.publish.timing import Timing, timings
from stepwell.render.cards.page_data import untranslated_line
from stepwell.render.site.bundles import SHEET, SITE, TOLD
from stepwell.render.site.languages import find_of, home_of, other_pages, script_words
from stepwell.render.site.later import circuit_href, later_href, later_script
from stepwell.render.site.library import Library
from stepwell.render.site.overview_pages import overview_pages
from stepwell.render.site.page import Page
from stepwell.render.site.paths import card_href, one_file_href, slug
from stepwell.render.site.route import route_of
from stepwell.render.site.slip_pages import slip_pages, slips_page
from stepwell.render.site.sum_pages import sum_pages
from stepwell.render.site.verdict_words import count, tell, verdict_words
from stepwell.report.results import ProcedureReport, Status
from stepwell.rules.sentence import sentence

_KIND_WORDS = {"emergency": "Emergency", "routine": "Procedure", "check": "Check"}


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLine:
    """A procedure in a list. ``released`` is the version of the card in force and ``code`` its codes, one for each
    language; ``old`` what is known of others."""

    id: str
    slug: str
    title: str
    kind: str
    version: str
    use: str
    href: str
    one_file: str
    status: str
    draft: bool
    released: str
    code: str
    old: str


CURRENT_WORDS = (
    "Cannot tell.",
    "Yes.",
    "No.",
    "Type the version or the code that is printed on the card.",
    "This copy of the site is too old, or this device’s clock is wrong. Look at a newer copy.",
    "The list of releases is not whole. Ask those who release the cards.",
    "Version {version} is in force by this copy, dated {day}.",
    "That card is {state}.",
    "In force is version {version}.",
    "Take it down.",
    "More than one card bears that version. Type the code.",
    "No card of this procedure is in force by this copy. A card without a release is not for use.",
    "This copy knows no card of this procedure with that version or code.",
    "Look again, letter by letter.",
    "superseded",
    "withdrawn",
    "not yet in force",
)
"""What the script says that answers whether a card is current."""


def render_pages(library: Library, env: Environment) -> dict[str, str]:
    """Every page as finished HTML by its path."""
    made: dict[str, str] = {}
    site = _site(library)
    say = partial(library.language.say, "site")
    for path, template, page, context in _pages(library):
        base = "../" * path.count("/")
        full = {"path": path, "base": base, "bundle": SITE, "draft": True, "draft_note": "", "version": "", "id": "", **page}
        full.setdefault("others", other_pages(path, library.language.code, library.codes))
        words = full.get("script_words")
        full["says"] = script_words(
            library.language, words if isinstance(words, tuple) else (), search=full["bundle"] == SITE
        )
        made[path] = env.get_template(template).render(
            site=site,
            page=full,
            t=say,
            s=partial(library.language.say, "sum"),
            language=library.language,
            **{"alone": False, **context},
        )
    return made


def later_scripts(library: Library, env: Environment) -> dict[str, bytes]:
    """The scripts beside the pages of procedures, by path."""
    made: dict[str, bytes] = {}
    for sheet in library.sheets:
        context, timing = _context(sheet, library), _timing(sheet, library)
        words = {
            **context,
            "page": {"base": "../"},
            "t": partial(library.language.say, "site"),
            "language": library.language,
        }
        made[later_href(sheet)] = later_script(sheet, route_of(sheet.items), timing, env, {**words, "alone": False})
    return made


def _pages(library: Library) -> Iterator[Page]:
    cards = tuple(_line(sheet, library) for sheet in library.sheets)
    by_kind = {kind: [card for card in cards if card.kind == kind] for kind in _KIND_WORDS}
    groups: dict[str, object] = {
        "emergencies": by_kind["emergency"],
        "routines": by_kind["routine"],
        "checks": by_kind["check"],
    }
    say, draft = partial(library.language.say, "site"), library.draft
    home: dict[str, object] = {"title": say("Procedures"), "draft": draft}
    yield home_of(library.language.code), "home.html", home, groups
    yield f"{library.folder}offline.html", "offline.html", {"title": say("No connection"), "draft": draft}, groups
    for path, template, page, context in _unit_pages(library, cards):
        yield library.folder + path, template, {"draft": draft, **page}, context
    for sheet in library.sheets:
        yield from _procedure(sheet, library)


def _unit_pages(library: Library, cards: tuple[CardLine, ...]) -> Iterator[Page]:
    """The pages about the unit and its rules, by their paths from the folder of the language."""
    say = partial(library.language.say, "site")
    about: dict[str, object] = {"title": say("About this copy"), "script_words": CURRENT_WORDS}
    yield "about.html", "about.html", about, _about(library, cards)
    yield "rules.html", "rules.html", {"title": say("Rules")}, _rules(library)
    yield from sum_pages(library.language)
    yield from overview_pages(library.overview, library.card_hrefs, library.as_of, library.language)
    yield slips_page(library)
    for rule in library.workspace.rules:
        page: dict[str, object] = {"title": say_rule(rule.title, library.language), "bundle": TOLD}
        yield f"rules/{slug(rule.name)}.html", "rule.html", page, _rule(rule, library)


def _procedure(sheet: Sheet, library: Library) -> Iterator[Page]:
    page: dict[str, object] = {
        "title": sheet.title,
        "id": sheet.id,
        "version": sheet.version,
        "draft": sheet.status.draft,
        "draft_note": _note(sheet, library),
    }
    context = _context(sheet, library)
    yield card_href(sheet), "procedure.html", {**page, "bundle": SHEET}, {**context, "one_file": _aside(sheet)}
    if one_file_href(sheet):
        yield one_file_href(sheet), "one_file.html", page, {**context, **_alone(sheet, library)}
    if context["pictured"] and library.language.english:
        others = other_pages(card_href(sheet), sheet.language, library.codes)
        title = library.language.say("site", "The circuit after each step")
        circuit = {**page, "title": f"{title}: {sheet.title}", "bundle": TOLD, "others": others}
        yield circuit_href(sheet), "circuit.html", circuit, {**context, "lines": lines_of(sheet.items)}
    marks = marks_of(procedure.body) if (procedure := _of(sheet, library)) else {}
    told = {
        "sheet": sheet,
        "slug": slug(sheet.id),
        "told": tell(library.reports.get(sheet.id), marks, library.drawn.moments, library.language),
    }
    title = library.language.say("site", "How the order was checked: {title}", title=sheet.title)
    yield f"{library.folder}check/{slug(sheet.id)}.html", "check.html", {**page, "title": title, "bundle": TOLD}, told
    yield from slip_pages(sheet, marks, page, library)


def _of(sheet: Sheet, library: Library) -> Procedure | None:
    return next((one for one in library.workspace.procedures if one.id == sheet.id), None)


def _timing(sheet: Sheet, library: Library) -> Mapping[str, Timing]:
    procedure = _of(sheet, library)
    return timings(procedure) if procedure else {}


def _context(sheet: Sheet, library: Library) -> dict[str, object]:
    """What the templates of a procedure are given."""
    report, procedure = library.reports.get(sheet.id), _of(sheet, library)
    # What changes in the circuit is told in English, so pages in other languages leave it to the English page.
    changes = {one.step: one.changes for one in report.pictures} if report and library.language.english else {}
    return {
        "sheet": sheet,
        "slug": slug(sheet.id),
        "kind": library.language.say("site", _KIND_WORDS.get(sheet.kind, sheet.kind)),
        "in_english": untranslated_line(sheet.in_english, library.language),
        "checked": bool(report and report.checked),
        "route": route_of(sheet.items),
        "marks": marks_of(procedure.body) if procedure else {},
        "changes": changes,
        "pictured": bool(report and report.pictures),
        "drawn": library.drawn.steps.get(sheet.id, {}),
        "cards": {other.id: other.title for other in library.sheets},
        "card_pages": {other.id: f"{slug(other.id)}.html" for other in library.sheets},
        "versions": f"{slug(sheet.id)}/v/index.html" if library.shelf.knows(sheet.id, sheet.language) else "",
    }


def _aside(sheet: Sheet) -> str:
    """The card as one file, from the folder of its page."""
    return one_file_href(sheet).removeprefix(f"{sheet.language}/")


def _alone(sheet: Sheet, library: Library) -> dict[str, object]:
    """What a card in one file is given instead: no links, no drawings, and its last day in place of a script."""
    last = library.as_of + timedelta(days=library.shelf.copy_limit)
    return {
        "alone": True,
        "card_style": library.card_style,
        "last_day": library.language.day(last),
        "changes": {},
        "drawn": {},
        "card_pages": {},
        "versions": "",
    }


def _line(sheet: Sheet, library: Library) -> CardLine:
    use = spoken(sheet.use_when)
    note = _note(sheet, library)
    card = library.shelf.card(sheet.id)
    return CardLine(
        id=sheet.id,
        slug=slug(sheet.id),
        title=sheet.title,
        kind=sheet.kind if sheet.kind in _KIND_WORDS else "routine",
        version=sheet.version,
        use=use,
        href=card_href(sheet),
        one_file=one_file_href(sheet),
        status=library.language.say("site", "draft" if sheet.status.draft else "released")
        + (f", {note[0].lower()}{note[1:]}" if note else ""),
        draft=sheet.status.draft,
        released=card.version,
        code=" ".join(card.codes),
        old="|".join(f"{one.version} {one.code} {one.state}" for one in card.old),
    )


def _note(sheet: Sheet, library: Library) -> str:
    """What the status of a page must add: the card that is in force instead, and what stands against this one."""
    card, say = library.shelf.card(sheet.id), partial(library.language.say, "site")
    other = bool(card.version) and sheet.status.draft
    said = [say("The card in force is version {version}", version=card.version)] if other else []
    why = card.told_in(library.language)
    if why and not card.withdrawn:
        said.append(f"{why[0].upper()}{why[1:]}")
    said += [say("Withdrawn. Take every copy down")] if card.withdrawn else []
    verdict = _verdict_note(library.reports.get(sheet.id), library.language)
    return ". ".join((*said, verdict) if verdict else said)


def _verdict_note(report: ProcedureReport | None, language: Language) -> str:
    """What the status must add to "draft": anything violated, undecided, or found besides."""
    if report is None or not report.checked:
        return language.say("site", "Order not checked")
    violated = sum(verdict.status is Status.VIOLATED for verdict in report.verdicts)
    undecided = sum(verdict.status is Status.NOT_DECIDED for verdict in report.verdicts)
    if not language.english:
        found = violated + undecided + len(report.against)
        return language.say("site", "{count} things to mend, see the check", count=str(found)) if found else ""
    said = [f"{count(violated, 'rule')} broken"] if violated else []
    said += [f"{undecided} undecided"] if undecided else []
    said += [count(len(report.against), "fault")] if report.against else []
    return ", ".join(said)


def _site(library: Library) -> dict[str, object]:
    unit = library.workspace.unit
    return {
        "unit": unit.name,
        "lang": library.language.code,
        "home": home_of(library.language.code),
        "pages": library.folder,
        "find": find_of(library.language.code),
        "as_of": library.as_of.isoformat(),
        "day": library.language.day(library.as_of),
        "limit": library.shelf.copy_limit,
        "trouble": library.shelf.trouble,
        "safety": " ".join(notice_lines("", library.language)),
        "notice": unit.notice.strip(),
        "tool": library.tool,
    }


def _about(library: Library, cards: tuple[CardLine, ...]) -> dict[str, object]:
    rigs = [
        {
            "title": rig.title,
            "version": rig.version,
            "inspected": library.language.day(rig.inspected)
            if rig.inspected
            else library.language.say("card", "not inspected"),
        }
        for rig in library.workspace.rigs
    ]
    return {"cards": cards, "rigs": rigs, "search_words": _search_words(library)}


def _search_words(library: Library) -> str:
    """Who looked through the words of the search in another language: they are clinical content, as cards are."""
    unit, say = library.workspace.unit, partial(library.language.say, "site")
    who = unit.word_list(library.language.code).reviewed_by
    if library.language.english:
        return ""
    if not who:
        return say("The search words in this language were not reviewed by anybody of the unit.")
    label = next((role.label for role in unit.roles if role.id == who), who)
    return say("The search words in this language were reviewed by: {who}.", who=label)


def _rules(library: Library) -> dict[str, object]:
    """The list of rules. ``in_english``: the title of one of them has no translation, as a rule of the unit's own."""
    untold = not all(library.language.knows("rule", rule.title) for rule in library.workspace.rules)
    return {"groups": _rule_groups(library), "in_english": untold}


def _rule_groups(library: Library) -> list[dict[str, object]]:
    groups: list[dict[str, object]] = []
    for severity, name in _severities(library.language):
        rules = [
            {
                "title": rule.title,
                "code": rule.code,
                "href": f"rules/{slug(rule.name)}.html",
                "violated": _violated_in(rule, library),
            }
            for rule in library.workspace.rules
            if rule.severity is severity
        ]
        if rules:
            groups.append({"name": name, "rules": rules})
    return groups


def _severities(language: Language) -> tuple[tuple[Severity, str], ...]:
    """The severities with their words, the worst first."""
    say = partial(language.say, "site")
    return (Severity.FATAL, say("Fatal")), (Severity.SERIOUS, say("Serious")), (Severity.MINOR, say("Minor"))


def _violated_in(rule: Rule, library: Library) -> str:
    met = sum(
        verdict.rule == rule.name and verdict.status is Status.VIOLATED
        for report in library.report.procedures
        for verdict in report.verdicts
    )
    say = partial(library.language.say, "site")
    return "" if not met else say("1 procedure") if met == 1 else say("{number} procedures", number=str(met))


def _rule(rule: Rule, library: Library) -> dict[str, object]:
    titles = {sheet.id: sheet.title for sheet in library.sheets}
    found = [v for report in library.report.procedures for v in report.verdicts if v.rule == rule.name]
    verdicts = [
        {
            "slug": slug(verdict.procedure),
            "title": titles.get(verdict.procedure, verdict.procedure),
            "words": verdict_words(verdict, library.language),
        }
        for verdict in found
        if verdict.procedure in titles
    ]
    severities = dict(_severities(library.language))
    return {"rule": rule, "sentence": sentence(rule), "verdicts": verdicts, "severity": severities[rule.severity]}
