"""What every verb of review works on: the unit, its check, its ledger and what that says today."""

from __future__ import annotations

import argparse
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path

from stepwell.cli import layers, options
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import Where, locate_unit
from stepwell.ledger.canonical import Json
from stepwell.ledger.chain import Chain
from stepwell.ledger.entry import POLICY, Entry, make_entry
from stepwell.ledger.policy import policy_hash, policy_plain
from stepwell.ledger.sshsig import KeyProblemError, public_line, sign
from stepwell.ledger.standing import Standing, standing
from stepwell.ledger.store import append, read_ledger
from stepwell.model.procedure import Procedure
from stepwell.model.review import ReviewPolicy
from stepwell.model.workspace import Workspace
from stepwell.publish.bound import Translated, content_of
from stepwell.publish.sheet import ReleaseMark, Sheet
from stepwell.report.results import CheckReport
from stepwell.source.files import shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What is proposed, approved or released as it is in the folder now. ``sheet`` is None for the review policy."""

    name: str
    version: str
    content: str
    parts: dict[str, Json]
    sheet: Sheet | None = None
    kept: tuple[bytes, ...] = ()
    """What is kept beside its release."""
    translated: tuple[Translated, ...] = ()
    """Its text in the unit's other languages."""


@dataclass(slots=True, kw_only=True)
class Desk:
    """One unit with its ledger, at one moment."""

    root: Path
    workspace: Workspace
    chain: Chain
    today: Standing
    now: datetime
    console: Console
    _checked: dict[frozenset[str], CheckReport] = field(default_factory=dict)

    @property
    def as_of(self) -> date:
        """The day of ``now``."""
        return self.now.date()

    @property
    def policy(self) -> ReviewPolicy:
        """The policy that counts: the one in force, or that of unit.yaml as long as none is. UsageProblem if neither."""
        found = self.today.policy or self.workspace.unit.review
        if found is None:
            raise UsageProblem("The unit has no review policy.", "Add `review` with signers and a quorum to unit.yaml.")
        return found

    def procedure(self, name: str) -> Procedure:
        """The procedure of this id. Raises UsageProblem if there is none."""
        from stepwell.source.near import did_you_mean

        known = {procedure.id: procedure for procedure in self.workspace.procedures}
        if name not in known:
            raise UsageProblem(f"There is no procedure {name!r}.", did_you_mean(name, known, what="There are"))
        return known[name]

    def subject(self, name: str, report: CheckReport | None = None) -> Subject:
        """A procedure, or ``policy``, as it stands in the folder now, with all that an approval is bound to."""
        if name == POLICY:
            policy = self.workspace.unit.review
            if policy is None:
                raise UsageProblem("unit.yaml has no `review`.", "Add signers and a quorum first.")
            return Subject(name=POLICY, version="", content=policy_hash(policy), parts={POLICY: policy_plain(policy)})
        procedure = self.procedure(name)
        report = report or self.check({name})
        sheet = self.sheet(procedure, report)
        bound = layers.bound(self.workspace, procedure, report, sheet)
        return Subject(
            name=name,
            version=procedure.version,
            content=content_of(bound.parts),
            parts={**bound.parts},
            sheet=sheet,
            kept=tuple(bound.kept.values()),
            translated=bound.translated,
        )

    def check(self, names: set[str]) -> CheckReport:
        """The check of these procedures, made once: the folder is read once as well."""
        from time import monotonic

        from stepwell.report.check import Options, check_workspace

        found = self._checked.get(frozenset(names))
        if found is None:
            self.console.progress("Searching every order ...")
            found = self._checked[frozenset(names)] = check_workspace(
                self.workspace, as_of=self.as_of, clock=monotonic, procedures=names, options=Options(bites=False)
            )
        return found

    def sheet(
        self, procedure: Procedure, report: CheckReport, mark: ReleaseMark | None = None, language: str = "en"
    ) -> Sheet:
        """The sheet of one procedure in a language, marked as released if ``mark`` is given."""
        from stepwell.publish.build import build_sheet
        from stepwell.publish.translated import in_language, language_of
        from stepwell.source.read_fixed_words import fixed_words

        said = language_of(self.workspace, fixed_words(language))
        there = in_language(self.workspace, said)
        asked = next(one for one in there.procedures if one.id == procedure.id)
        entry = next((one for one in report.procedures if one.procedure == procedure.id), None)
        return build_sheet(there, asked, entry, self.as_of, release=mark, language=said)

    def write(self, kind: str, body: dict[str, Json], key: Path | None = None) -> Entry:
        """Append an entry after all heads, signed if a key is given. Raises UsageProblem for a key that can't be used."""
        entry = make_entry(kind, self.now, self.chain.heads, body)
        if key is not None:
            entry = replace(entry, signature=sign_with(key, entry.signed))
        try:
            append(self.root, entry)
        except FileExistsError as error:
            raise UsageProblem("That is in the ledger already.") from error
        self.reload()
        return entry

    def reload(self) -> None:
        """Read the ledger again."""
        self.chain = read_ledger(self.root)
        self.today = standing(self.chain, layers.kinds_of(self.workspace), self.as_of)


def open_desk(folder: str, console: Console, at: datetime | None) -> Desk:
    """Read a unit and its ledger. Raises UsageProblem if some of the unit can't be read."""
    root = locate_unit(folder)
    loaded = layers.load(root, console)
    report = layers.check(Where(root=root), replace(loaded, workspace=None), date.min, console)
    if loaded.workspace is None or any(finding.unusable for finding in report.findings):
        raise UsageProblem(f"Some of {shown(root)} can't be read.", f"Run `stepwell check {folder}` and mend it first.")
    now = at or datetime.now(UTC)
    chain = read_ledger(root)
    return Desk(
        root=root,
        workspace=loaded.workspace,
        chain=chain,
        today=standing(chain, layers.kinds_of(loaded.workspace), now.date()),
        now=now,
        console=console,
    )


def sign_with(path: Path, message: bytes) -> str:
    """Sign with the private key in a file. Raises UsageProblem."""
    try:
        return sign(message, path.read_bytes())
    except OSError as error:
        raise UsageProblem(f"The key {path} can't be read: {error.strerror}.") from error
    except KeyProblemError as error:
        raise UsageProblem(f"{path}: {error}.", "Name a private key without a passphrase, made by ssh-keygen.") from error


def signer_of(desk: Desk, path: Path) -> str:
    """The signer whose key this is. Raises UsageProblem if the policy knows nobody with it."""
    try:
        line = public_line(path.read_bytes())
    except OSError as error:
        raise UsageProblem(f"The key {path} can't be read: {error.strerror}.") from error
    except KeyProblemError as error:
        raise UsageProblem(f"{path}: {error}.") from error
    for signer in desk.policy.signers:
        if signer.key and signer.key.split()[:2] == line.split()[:2]:
            return signer.id
    raise UsageProblem(f"Nobody in the review policy has the key {path}.", "Add it to `signers`, and release the policy.")


def add_common(parser: argparse.ArgumentParser) -> None:
    """``--unit`` and ``--time``."""
    parser.add_argument("--unit", default=".", metavar="WORKSPACE", help="the unit's folder (default: this one)")
    parser.add_argument(
        "--time", type=moment, metavar="TIME", help="the moment to record, such as 2026-11-25T14:00Z (default: now)"
    )


def add_key(parser: argparse.ArgumentParser) -> None:
    """``--key FILE``."""
    parser.add_argument("--key", type=Path, metavar="FILE", help="your private key (OpenSSH, Ed25519)")


def moment(text: str) -> datetime:
    """A time as ``2026-11-25T14:00Z``."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a time like 2026-11-25T14:00Z") from None
    return found if found.tzinfo else found.replace(tzinfo=UTC)


day = options.day
