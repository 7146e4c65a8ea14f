"""A small ledger on disk for tests: three people with keys, a policy, and short names for what they write."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from stepwell.ledger.canonical import Json
from stepwell.ledger.chain import Chain
from stepwell.ledger.entry import Entry, make_entry
from stepwell.ledger.policy import policy_hash, policy_plain
from stepwell.ledger.sshsig import public_line, sign
from stepwell.ledger.standing import Standing, standing
from stepwell.ledger.store import append, read_ledger
from stepwell.model.review import Quorum, ReviewPolicy, Seat, Signer

START = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def made_key() -> bytes:
    return Ed25519PrivateKey.generate().private_bytes(Encoding.PEM, PrivateFormat.OpenSSH, NoEncryption())


KEYS = {name: made_key() for name in ("lead", "nurse", "physician", "stranger")}
LINES = {name: public_line(key) for name, key in KEYS.items()}


def policy(**changes: object) -> ReviewPolicy:
    seats = (Seat(role="specialist", count=1), Seat(role="physician", count=1))
    found = ReviewPolicy(
        signers=(
            Signer(id="lead", roles=("education-lead", "specialist"), key=LINES["lead"]),
            Signer(id="nurse", roles=("specialist",), key=LINES["nurse"]),
            Signer(id="physician", roles=("physician",), key=LINES["physician"]),
        ),
        quorums=tuple(Quorum(sort=sort, seats=seats) for sort in ("routine", "emergency", "check", "policy")),
        walk_through=False,
    )
    return replace(found, **changes)  # type: ignore[arg-type]


@dataclass
class Office:
    """A ledger in a folder. Every entry is an hour after the last, after all heads, unless told otherwise."""

    root: Path
    now: datetime = START
    written: list[Entry] = field(default_factory=list)

    def chain(self) -> Chain:
        return read_ledger(self.root)

    def today(self, as_of: date = date(2026, 12, 31)) -> Standing:
        return standing(self.chain(), {"air": "emergency", "prime": "routine"}, as_of)

    def faults(self) -> set[str]:
        return {problem.fault.name for problem in self.today().problems}

    def write(
        self,
        kind: str,
        body: dict[str, Json],
        key: str | None = None,
        *,
        parents: tuple[str, ...] | None = None,
        time: datetime | None = None,
    ) -> Entry:
        self.now += timedelta(hours=1)
        entry = make_entry(kind, time or self.now, self.chain().heads if parents is None else parents, body)
        if key is not None:
            entry = replace(entry, signature=sign(entry.signed, KEYS[key]))
        append(self.root, entry)
        self.written.append(entry)
        return entry

    def propose(self, subject: str, content: str, author: str = "lead", **more: Json) -> Entry:
        parts = more.get("parts") or {"model": content, "text": content}
        parents = more.get("parents")
        body: dict[str, Json] = {
            "subject": subject, "version": "1.0.0", "content": content, "parts": parts, "author": author, "why": "test",
        }  # fmt: skip
        return self.write("propose", body, parents=parents)  # type: ignore[arg-type]

    def approve(self, proposal: Entry, signer: str, role: str, key: str | None = None, **more: Json) -> Entry:
        keep = {name: more.pop(name) for name in ("parents", "time") if name in more}
        body: dict[str, Json] = {name: proposal.body[name] for name in ("subject", "version", "content")}
        body |= {"signer": signer, "role": role, "meaning": "approved", "minutes": "", "entered-by": ""}
        return self.write("approve", body | more, signer if key is None else key or None, **keep)  # type: ignore[arg-type]

    def release(self, proposal: Entry, *approvals: Entry, **more: Json) -> Entry:
        keep = {name: more.pop(name) for name in ("parents", "time") if name in more}
        body: dict[str, Json] = {name: proposal.body[name] for name in ("subject", "version", "content", "parts")}
        body |= {
            "proposal": proposal.id, "approvals": [entry.id for entry in approvals], "effective": "2026-03-03",
            "review": "2027-03-03", "pdf": "", "signer": "", "tool": "test",
        }  # fmt: skip
        return self.write("release", body | more, **keep)  # type: ignore[arg-type]

    def found(self, rules: ReviewPolicy | None = None) -> Entry:
        """Put a policy in force."""
        chosen = rules or policy()
        asked = self.propose("policy", policy_hash(chosen), parts={"policy": policy_plain(chosen)})
        votes = (self.approve(asked, "nurse", "specialist"), self.approve(asked, "physician", "physician"))
        return self.release(asked, *votes)

    def agreed(self, subject: str, content: str) -> Entry:
        """Propose, approve twice and release."""
        asked = self.propose(subject, content)
        votes = (self.approve(asked, "nurse", "specialist"), self.approve(asked, "physician", "physician"))
        return self.release(asked, *votes)

    def file(self, entry: Entry) -> Path:
        return next((self.root / "ledger").glob(f"*-{entry.id[:12]}.json"))
