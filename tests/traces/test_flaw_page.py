"""The page on log formats names every kind of flaw and every limit."""

from __future__ import annotations

from pathlib import Path

import pytest

from evenhand.traces.flaws import MEANINGS
from evenhand.traces.limits import MIB, Limits

PAGE = (Path(__file__).parents[2] / "docs" / "formats-logs.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", MEANINGS)
def test_every_kind_of_flaw_is_explained(kind: str) -> None:
    assert f"| `{kind}` |" in PAGE


def test_the_limits_on_the_page_are_those_of_the_code() -> None:
    limits = Limits()
    assert f"| file | {limits.max_bytes // (1024 * MIB)} GiB |" in PAGE
    assert f"| unpacked ÷ packed | {limits.max_unpack_ratio:.0f}," in PAGE
    assert f"| line | {limits.max_line_bytes // MIB} MiB |" in PAGE
    assert f"| columns | {limits.max_columns:,} |" in PAGE
    assert f"| rows | {limits.max_rows // 10**6} million |" in PAGE
