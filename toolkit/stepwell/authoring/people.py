"""Who the words of a document mean: the unit's roles, by id, label or mark."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from stepwell.model.unit import Role


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


_TITLES = _set(
    """nurse perfusionist physician doctor surgeon specialist assistant primer anaesthetist anesthetist intensivist
    technician engineer leader lead team operator checker consultant porter runner paramedic fellow nurses"""
)
_LEAD = re.compile(r"(?P<who>[A-Z][\w /&+-]{0,40}?)\s*:\s+(?=\S)")


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """``roles`` of the unit; ``usual`` is who does a line that names nobody."""

    roles: Sequence[Role]
    usual: str

    def role(self, said: str) -> str:
        """The id of the role that ``said`` means; "" if none, or if two fit equally."""
        plain = _plain(said)
        if not plain:
            return ""
        for role in self.roles:
            if plain in (_plain(role.id), _plain(role.label), _plain(role.mark)):
                return role.id
        words = set(plain.split())
        near = [role.id for role in self.roles if words & set(_plain(role.label).split()) & _TITLES or words & {role.id}]
        return near[0] if len(near) == 1 else ""

    def leading(self, text: str) -> tuple[str, str]:
        """Who is named in front of a line ("Nurse: open ..."), and the line; ("", text) if nobody is."""
        match = _LEAD.match(text)
        if match is None:
            return "", text
        said = match["who"]
        if self.role(said) or _plain(said).split()[-1] in _TITLES:
            return said, text[match.end() :]
        return "", text


def _plain(text: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", text.lower()))
