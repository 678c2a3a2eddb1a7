"""What a sentence says is understood in other words too: sound ones pass, their twins do not."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from tests.prose.conftest import Check

STRUCTURES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "paraphrases.toml").read_text(encoding="utf-8")
)["structure"]


@pytest.mark.parametrize("structure", STRUCTURES, ids=lambda each: each["name"])
def test_sound_sentences_are_left_alone_and_their_twins_objected_to(
    structure: dict[str, Any], checked: Check
) -> None:
    alarms = [text for text in structure["sound"] if checked(text)]
    missed = [text for text in structure["over"] if not checked(text)]
    assert (alarms, missed) == ([], [])
