"""What can be wrong with a ledger. Codes SW501 to SW529; a name or a code is never used again for another fault."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerFault:
    """Name, code, severity, and the explanation that ``explain`` prints, with its mend."""

    name: str
    code: str
    summary: str
    mend: str
    severity: Severity = Severity.SERIOUS

    def at(self, where: str, detail: str = "", procedure: str | None = None) -> Problem:
        """This fault at an entry (its id), a file or a procedure."""
        return Problem(fault=self, where=where, detail=detail, procedure=procedure)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A fault at a place. ``where`` is the id of an entry, the name of a file, or the id of a procedure."""

    fault: LedgerFault
    where: str
    detail: str = ""
    procedure: str | None = None

    def finding(self) -> Finding:
        """As a finding like any other."""
        place = f"entry {self.where[:12]}: " if len(self.where) == 64 else f"{self.where}: " if self.where else ""
        return Finding(
            rule=self.fault.name,
            code=self.fault.code,
            severity=self.fault.severity,
            message=f"{place}{self.fault.summary}{' ' + self.detail if self.detail else ''}",
            mend=self.fault.mend,
            procedure=self.procedure,
        )


def _fault(code: int, name: str, summary: str, mend: str, severity: Severity = Severity.SERIOUS) -> LedgerFault:
    return LedgerFault(name=name, code=f"SW{code}", summary=summary, mend=mend, severity=severity)


COPY = "Get the file back from another copy of the folder, and find out who changed it."

ENTRY_ALTERED = _fault(501, "entry-altered", "An entry of the ledger is not what it was when it was written.", COPY)
PARENT_MISSING = _fault(502, "entry-missing", "An entry that this one comes after is missing.", COPY)
BEGINS_TWICE = _fault(503, "ledger-begins-twice", "The ledger has more than one beginning, so two were mixed.", COPY)
BACK_DATED = _fault(
    504, "entry-dated-back", "An entry says that it is older than one it comes after.", "Ask who wrote it, and when."
)
HEAD_MISSING = _fault(505, "witnessed-head-missing", "A head that was noted elsewhere is not in this ledger.", COPY)
SIGNATURE_WRONG = _fault(
    506,
    "signature-does-not-fit",
    "A signature does not fit what it stands under, or the key of the signer.",
    "Ask the signer to approve again.",
)
SIGNER_UNKNOWN = _fault(
    507,
    "signer-not-allowed",
    "Somebody approved who could not at that time, or not in that role.",
    "Have somebody approve who may, or change the policy first.",
)
OWN_APPROVAL = _fault(
    508, "author-approved", "The author approved what the author proposed.", "Have somebody else approve it."
)
ONE_PERSON_TWICE = _fault(
    509, "one-person-two-seats", "One person, or one key, stands for two approvals.", "Have another person approve."
)
OTHER_CONTENT = _fault(
    510,
    "approval-of-something-else",
    "A release names an approval of another content or version.",
    "Have the content approved that is to be released.",
)
QUORUM_SHORT = _fault(
    511, "quorum-not-met", "A release was written without the approvals that the policy asks for.", "Withdraw it."
)
NOT_BOUND = _fault(
    512,
    "released-pdf-altered",
    "The kept PDF of a release is missing, or not the one that was released.",
    COPY,
)
RELEASES_SIDE_BY_SIDE = _fault(
    513,
    "releases-side-by-side",
    "Two releases of one procedure were made without knowledge of each other.",
    "Release one of them again, or a third.",
)
POLICY_NOT_AGREED = _fault(
    514,
    "policy-not-agreed",
    "The review policy in unit.yaml is not the one that the ledger has in force.",
    "Propose, approve and release the policy; until then the old one counts.",
)
REVIEW_OVERDUE = _fault(
    515, "review-overdue", "A released procedure is past its review date.", "Review it, and release it again."
)
CHANGED_SINCE = _fault(
    516,
    "changed-since-release",
    "The procedure is no longer what was released; the released card is still the one in force.",
    "Propose the change, or take it back.",
    Severity.MINOR,
)
RECALL_OPEN = _fault(
    517,
    "old-card-still-hangs",
    "A card that is no longer in force was not yet reported as taken down.",
    "Walk to the place, take the card down, and record it with `stepwell recall --done`.",
)
WALK_THROUGH_MISSING = _fault(
    518,
    "walk-through-missing",
    "A release changed what is done, and no walk-through of that content is on record.",
    "Walk through it, record it, and release again.",
)
WITHDRAWN_UNKNOWN = _fault(
    519, "withdrawal-of-nothing", "A withdrawal names no release of its procedure.", "Withdraw the release that is meant."
)
REPLAYED = _fault(
    520, "signature-replayed", "One signature stands in two entries.", "Delete the copy, and find out who made it."
)
FILE_STRANGE = _fault(
    521, "not-an-entry", "A file in the ledger's folder is no entry of it.", "Move it elsewhere.", Severity.MINOR
)
BATCH_CHANGED = _fault(
    522,
    "batch-changes-a-card",
    "A batch approval was used for a card that is not, in all but its layout and tool, what was released before.",
    "Propose that card by itself.",
)
MADE_OTHERWISE = _fault(
    523,
    "made-with-another-tool",
    "The card in force says what the folder says, and was made with other rules, another layout or another tool.",
    "`stepwell recheck` tells what the present tool says of it; `stepwell propose batch` lays such cards out anew.",
    Severity.MINOR,
)
KEPT_ALTERED = _fault(524, "kept-record-altered", "What was kept beside a release is not what was kept.", COPY)
TEXT_NOT_WHOLE = _fault(
    525,
    "released-untranslated",
    "A release has a card in another language whose text was not wholly translated, or was not kept.",
    "Withdraw it, complete the translation, and release it again.",
)

FAULTS: tuple[LedgerFault, ...] = (
    ENTRY_ALTERED,
    PARENT_MISSING,
    BEGINS_TWICE,
    BACK_DATED,
    HEAD_MISSING,
    SIGNATURE_WRONG,
    SIGNER_UNKNOWN,
    OWN_APPROVAL,
    ONE_PERSON_TWICE,
    OTHER_CONTENT,
    QUORUM_SHORT,
    NOT_BOUND,
    RELEASES_SIDE_BY_SIDE,
    POLICY_NOT_AGREED,
    REVIEW_OVERDUE,
    CHANGED_SINCE,
    RECALL_OPEN,
    WALK_THROUGH_MISSING,
    WITHDRAWN_UNKNOWN,
    REPLAYED,
    FILE_STRANGE,
    BATCH_CHANGED,
    MADE_OTHERWISE,
    KEPT_ALTERED,
    TEXT_NOT_WHOLE,
)
