"""Every test that docs/security.md names exists, and every line of its tables has one where there can be."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "security.md").read_text(encoding="utf-8")
NAMED = sorted(set(re.findall(r"`(tests/[\w/]+\.py)::(\*|test_\w+)`", PAGE)))
LINES = [line for line in PAGE.splitlines() if line.startswith("| ") and not line.startswith("| threat")]


@pytest.mark.parametrize(("file", "name"), NAMED)
def test_a_named_test_exists(file: str, name: str) -> None:
    text = (ROOT / file).read_text(encoding="utf-8")
    wanted = r"test_\w+" if name == "*" else name
    assert re.search(rf"^def {wanted}\(", text, re.MULTILINE), f"{file} has no {name}"


def test_lines_without_a_test_are_few() -> None:
    assert len(LINES) > 25
    without = [line for line in LINES if "::" not in line]
    assert [line.split("|")[1].strip() for line in without] == ["another user reads the file itself"]
