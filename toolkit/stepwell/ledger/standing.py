"""What the ledger says today: the policy and the cards in force, what was withdrawn, what waits for approval.

Everything is derived from the entries; nothing else is remembered. A release that was written without its quorum is
not in force, whoever wrote it. A withdrawal counts even where something is wrong with it: that errs on the safe side.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from stepwell.ledger.approvals import Tally, tally
from stepwell.ledger.batch import BATCH, batch_objection, batch_quorum
from stepwell.ledger.chain import Chain
from stepwell.ledger.entry import POLICY, Entry
from stepwell.ledger.policy import policy_of
from stepwell.ledger.prints import Print, approved_as, not_the_same
from stepwell.ledger.problems import (
    BACK_DATED,
    BATCH_CHANGED,
    BEGINS_TWICE,
    OTHER_CONTENT,
    QUORUM_SHORT,
    RELEASES_SIDE_BY_SIDE,
    REPLAYED,
    SIGNATURE_WRONG,
    WALK_THROUGH_MISSING,
    WITHDRAWN_UNKNOWN,
    Problem,
)
from stepwell.ledger.sshsig import verifies
from stepwell.model.review import ReviewPolicy


class ReleaseState(StrEnum):
    """What a release is on a day."""

    IN_FORCE = "in force"
    TO_COME = "not yet effective"
    SUPERSEDED = "superseded"
    REPRINTED = "in force, and laid out anew since"
    """The one in force has the same version, text, actions and review date, so a print of this one says the same."""
    WITHDRAWN = "withdrawn"
    DISPUTED = "disputed"
    """Another release was made side by side with it, so nobody can tell which counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """A release that had its quorum. ``pdf`` is the SHA-256 of the kept card; ``parts`` the hashes it was bound to."""

    entry: str
    subject: str
    version: str
    content: str
    parts: tuple[tuple[str, str], ...]
    approved: date
    effective: date
    review: date | None
    pdf: str
    state: ReleaseState
    signed: int
    recorded: int
    withdrawn: str = ""
    """The reason of the withdrawal."""
    prints: tuple[Print, ...] = ()
    """Its cards in other languages than English."""

    @property
    def languages(self) -> tuple[str, ...]:
        """The languages that it has a card in, English first."""
        return ("en", *(one.language for one in self.prints))

    def text_in(self, language: str) -> str:
        """The hash of what is printed in a language; empty if it has no card in it."""
        found = {"en": self.part("text"), **{one.language: one.text for one in self.prints}}
        return found.get(language, "")

    def pdf_in(self, language: str) -> str:
        """The hash of its card in a language; empty if it has none."""
        return {"en": self.pdf, **{one.language: one.pdf for one in self.prints}}.get(language, "")

    def part(self, name: str) -> str:
        """The hash of one of the parts; empty if it was not bound to it."""
        return dict(self.parts).get(name, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """Something that waits for approval."""

    entry: str
    subject: str
    version: str
    content: str
    author: str
    why: str
    tally: Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The fold of a chain on a day. ``policy`` is None before the first one was released."""

    policy: ReviewPolicy | None
    policy_content: str
    releases: tuple[Release, ...]
    proposals: tuple[Proposal, ...]
    taken_down: tuple[tuple[str, str, str], ...]
    """(procedure, entry of the release, place) of every report that a card was taken down."""
    problems: tuple[Problem, ...]

    def of(self, subject: str) -> tuple[Release, ...]:
        """The releases of a procedure, oldest first."""
        return tuple(release for release in self.releases if release.subject == subject)

    def in_force(self, subject: str) -> Release | None:
        """The release of a procedure that is in force, or None."""
        return next((release for release in self.of(subject) if release.state is ReleaseState.IN_FORCE), None)

    def newest(self, subject: str) -> Release | None:
        """The newest release of a procedure, whatever its state."""
        return next(iter(reversed(self.of(subject))), None)


def standing(chain: Chain, kinds: dict[str, str], as_of: date) -> Standing:
    """Fold the chain. ``kinds`` gives the kind of each procedure (``routine`` ...), which decides its quorum."""
    return _Fold(chain, kinds, as_of).result()


@dataclass
class _Fold:
    chain: Chain
    kinds: dict[str, str]
    as_of: date
    problems: list[Problem] = field(default_factory=list)
    good: dict[str, tuple[Entry, Tally]] = field(default_factory=dict)
    """Releases with their quorum, by entry id."""
    policies: dict[str, tuple[ReviewPolicy, str]] = field(default_factory=dict)
    """Policy releases with their quorum: the policy and its hash, by entry id."""

    @property
    def _begins_twice(self) -> bool:
        """True if somebody put a second beginning beside the first: then nobody can tell which policy founded it."""
        return any(problem.fault is BEGINS_TWICE for problem in self.chain.problems)

    def result(self) -> Standing:
        self._replays()
        dated_back = {problem.where for problem in self.chain.problems if problem.fault is BACK_DATED}
        for entry in self.chain.entries:
            if entry.kind == "release":
                self._release(entry, dated_back)
        releases = self._states()
        everything = frozenset(self.chain.by_id)
        policy, content = self._policy(everything)
        taken = [(e.subject, e.text("release"), e.text("place")) for e in self.chain.entries if e.kind == "taken-down"]
        return Standing(
            policy=policy,
            policy_content=content,
            releases=releases,
            proposals=self._open(policy, dated_back),
            taken_down=tuple(taken),
            problems=(*self.chain.problems, *self.problems),
        )

    def _replays(self) -> None:
        first: dict[str, str] = {}
        for entry in self.chain.entries:
            if entry.signature is None:
                continue
            seen = first.setdefault(entry.signature, entry.id)
            if seen != entry.id:
                self.problems.append(REPLAYED.at(entry.id, f"It stands in entry {seen[:12]} too.", entry.subject))

    def _policy(self, before: frozenset[str]) -> tuple[ReviewPolicy | None, str]:
        """The last policy with a quorum among these entries."""
        found = [self.policies[entry.id] for entry in self.chain.entries if entry.id in before and entry.id in self.policies]
        return found[-1] if found else (None, "")

    def _release(self, entry: Entry, dated_back: set[str]) -> None:
        before = self.chain.before(entry.id)
        proposal = self.chain.by_id.get(entry.text("proposal"))
        if entry.subject == BATCH:
            self.problems.append(OTHER_CONTENT.at(entry.id, "A batch is released card by card."))
            return
        parts = entry.mapping("parts")
        if entry.prints and any(parts.get(name) != held for name, held in approved_as(entry.prints).items()):
            told = "Its text in another language is not what was approved."
            self.problems.append(OTHER_CONTENT.at(entry.id, told, entry.subject))
            return
        if proposal is not None and proposal.subject == BATCH and proposal.id in before:
            why = batch_objection(entry, proposal, self._last(entry.subject, before))
            if why:
                self.problems.append(BATCH_CHANGED.at(entry.id, why, entry.subject))
                return
            self._under(entry, proposal, dated_back)
            return
        keys = ("subject", "version", "content")
        if proposal is None or proposal.id not in before or any(entry.text(k) != proposal.text(k) for k in keys):
            self.problems.append(OTHER_CONTENT.at(entry.id, "It names no proposal of its own content.", entry.subject))
            return
        if entry.mapping("parts") != proposal.mapping("parts"):
            self.problems.append(OTHER_CONTENT.at(entry.id, "What it is bound to was not proposed.", entry.subject))
            return
        policy, _ = self._policy(before)
        if entry.subject == POLICY:
            offered = policy_of(entry.mapping("parts").get(POLICY))
            if offered is None:
                self.problems.append(OTHER_CONTENT.at(entry.id, "It holds no policy.", entry.subject))
                return
            if policy is None and self._begins_twice:
                self.problems.append(QUORUM_SHORT.at(entry.id, "The ledger begins twice.", entry.subject))
                return
            # The first policy founds the ledger: it is measured by itself.
            policy = policy or offered
            self._judge(entry, proposal, policy, "policy", dated_back)
            if entry.id in self.good:
                self.policies[entry.id] = (offered, entry.text("content"))
            return
        self._under(entry, proposal, dated_back)

    def _last(self, subject: str, before: frozenset[str]) -> Entry | None:
        """The last good release of a procedure among these entries; None if it has been withdrawn."""
        found = [old for id_, (old, _) in self.good.items() if id_ in before and old.subject == subject]
        gone = {e.text("release") for e in self.chain.entries if e.kind == "withdraw" and e.id in before}
        return found[-1] if found and found[-1].id not in gone else None

    def _under(self, entry: Entry, proposal: Entry, dated_back: set[str]) -> None:
        """Judge the release of a card by the policy that was in force then."""
        policy, _ = self._policy(self.chain.before(entry.id))
        if policy is None:
            self.problems.append(QUORUM_SHORT.at(entry.id, "No policy was in force.", entry.subject))
            return
        self._judge(entry, proposal, policy, self.kinds.get(entry.subject, "routine"), dated_back)

    def _judge(self, entry: Entry, proposal: Entry, policy: ReviewPolicy, sort: str, dated_back: set[str]) -> None:
        before = self.chain.before(entry.id)
        named = [self.chain.by_id[id_] for id_ in entry.texts("approvals") if id_ in before and id_ not in dated_back]
        counted = tally(proposal, named, policy, policy.quorum(sort))
        self.problems.extend(counted.problems)
        signer = policy.signer(entry.text("signer"))
        fits = signer is not None and bool(signer.key) and verifies(entry.signed, entry.signature or "", signer.key)
        if entry.signature is not None and not fits:
            self.problems.append(SIGNATURE_WRONG.at(entry.id, procedure=entry.subject))
            return
        if not counted.met:
            short = ", ".join(f"{seat.count} x {seat.role}" for seat in counted.missing)
            self.problems.append(QUORUM_SHORT.at(entry.id, f"Missing: {short}.", entry.subject))
            return
        if policy.walk_through and entry.subject != POLICY and not self._walked(entry, before):
            self.problems.append(WALK_THROUGH_MISSING.at(entry.id, procedure=entry.subject))
            return
        self.good[entry.id] = (entry, counted)

    def _walked(self, entry: Entry, before: frozenset[str]) -> bool:
        """True if what is done is as it was in the last release, or has been walked through."""
        model = str(entry.mapping("parts").get("model", ""))
        earlier = [old for id_, (old, _) in self.good.items() if id_ in before and old.subject == entry.subject]
        if earlier and earlier[-1].mapping("parts").get("model") == model:
            return True
        return any(
            other.kind == "walk-through"
            and other.id in before
            and other.subject == entry.subject
            and other.text("model") == model
            for other in self.chain.entries
        )

    def _states(self) -> tuple[Release, ...]:
        withdrawn: dict[str, str] = {}
        for entry in self.chain.entries:
            if entry.kind == "withdraw" and entry.time.date() <= self.as_of:
                meant = entry.text("release")
                named = self.chain.by_id.get(meant)
                if named is None or named.kind != "release" or named.subject != entry.subject:
                    self.problems.append(WITHDRAWN_UNKNOWN.at(entry.id, procedure=entry.subject))
                withdrawn[meant] = entry.text("reason")
        return tuple(
            self._described(entry, counted, withdrawn) for entry, counted in self.good.values() if entry.subject != POLICY
        )

    def _described(self, entry: Entry, counted: Tally, withdrawn: dict[str, str]) -> Release:
        effective = entry.day("effective") or entry.time.date()
        rivals = [
            other
            for id_, (other, _) in self.good.items()
            if other.subject == entry.subject and id_ != entry.id and (other.day("effective") or self.as_of) <= self.as_of
        ]
        after = [other for other in rivals if entry.id in self.chain.before(other.id)]
        beside = [
            other
            for other in rivals
            if entry.id not in self.chain.before(other.id)
            and other.id not in self.chain.before(entry.id)
            and not any(other.id in self.chain.before(third.id) for third in rivals)
        ]
        if entry.id in withdrawn:
            state = ReleaseState.WITHDRAWN
        elif effective > self.as_of:
            state = ReleaseState.TO_COME
        elif after:
            same = after[-1].id not in withdrawn and _says_the_same(entry, after[-1])
            state = ReleaseState.REPRINTED if same else ReleaseState.SUPERSEDED
        elif beside:
            state = ReleaseState.DISPUTED
            self.problems.append(
                RELEASES_SIDE_BY_SIDE.at(entry.id, f"The other is {beside[0].id[:12]}.", procedure=entry.subject)
            )
        else:
            state = ReleaseState.IN_FORCE
        return Release(
            entry=entry.id,
            subject=entry.subject,
            version=entry.text("version"),
            content=entry.text("content"),
            parts=tuple(sorted((name, str(value)) for name, value in entry.mapping("parts").items())),
            approved=entry.time.date(),
            effective=effective,
            review=entry.day("review"),
            pdf=entry.text("pdf"),
            state=state,
            signed=sum(1 for one in counted.counted if one.signed),
            recorded=sum(1 for one in counted.counted if not one.signed),
            withdrawn=withdrawn.get(entry.id, ""),
            prints=tuple(one for one in entry.prints if one.pdf),
        )

    def _open(self, policy: ReviewPolicy | None, dated_back: set[str]) -> tuple[Proposal, ...]:
        """The newest proposal of each subject that no release has taken up, with the approvals it has."""
        released = {entry.text("proposal") for entry, _ in self.good.values()}
        newest: dict[str, Entry] = {}
        for entry in self.chain.entries:
            if entry.kind == "propose":
                newest[entry.subject] = entry
        out = []
        for subject, entry in sorted(newest.items()):
            if entry.id in released:
                continue
            judge = policy or (policy_of(entry.mapping("parts").get(POLICY)) if subject == POLICY else None)
            if judge is None:
                continue
            sort = "policy" if subject == POLICY else self.kinds.get(subject, "routine")
            asked = batch_quorum(entry, judge, self.kinds) if subject == BATCH else judge.quorum(sort)
            out.append(
                Proposal(
                    entry=entry.id,
                    subject=subject,
                    version=entry.text("version"),
                    content=entry.text("content"),
                    author=entry.text("author"),
                    why=entry.text("why"),
                    tally=tally(entry, self._approvals(entry, dated_back), judge, asked),
                )
            )
        return tuple(out)

    def _approvals(self, proposal: Entry, dated_back: set[str]) -> tuple[Entry, ...]:
        return tuple(
            entry
            for entry in self.chain.entries
            if entry.kind == "approve"
            and entry.id not in dated_back
            and entry.text("content") == proposal.text("content")
            and entry.subject == proposal.subject
            and proposal.id in self.chain.before(entry.id)
        )


def _says_the_same(old: Entry, new: Entry) -> bool:
    parts = [one.mapping("parts") for one in (old, new)]
    same = all(parts[0].get(name) and parts[0].get(name) == parts[1].get(name) for name in ("model", "text"))
    same = same and not not_the_same(old.prints, new.prints)
    return same and all(old.text(key) == new.text(key) for key in ("version", "review"))
