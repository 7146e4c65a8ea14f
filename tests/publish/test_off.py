"""``off`` is two things in one English word: of a tap that it is shut, of a cap that it is taken off."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepwell.model.rig import Setting
from stepwell.publish.build import build_sheet
from stepwell.publish.sheet import spoken
from stepwell.publish.translated import in_language, language_of
from stepwell.source.read_fixed_words import fixed_words
from tests import demo
from tests.publish.bench import AS_OF


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("en", ["tap T1: off", "cap of T1: off", "cap of T2: may be off or on"]),
        ("de", ["Hahn T1: zu", "Kappe von T1: ab", "Kappe von T2: kann sein: ab oder an"]),
    ],
)
def test_a_start_says_which(code: str, said: list[str]) -> None:
    language = language_of(demo.workspace(), fixed_words(code))
    there = in_language(demo.workspace(), language)
    given = next(one for one in there.procedures if one.id == "prime-adult")
    assert given.starts is not None
    settings = (Setting(part="drain-tap", word="off"), Setting(part="drain-cap", word="off"))
    starts = replace(given.starts, settings=settings, open_settings=(("pre-cap", ("off", "on")),))
    sheet = build_sheet(there, replace(given, starts=starts), None, AS_OF, language=language)
    assert [spoken(text) for text in sheet.starts][-3:] == said
