"""docs/formats-uploads.md tells every route, fact, answer and refusal of uploads, and no other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from evenhand.desk.bench import spool
from evenhand.traces.limits import DEFAULT_LIMITS, MIB
from evenhand.web.api.uploads import Facts, FaultTold, Told, router

PAGE = (Path(__file__).parents[2] / "docs" / "formats-uploads.md").read_text(encoding="utf-8")


def section(title: str) -> str:
    return PAGE.partition(f"\n## {title}\n")[2].partition("\n## ")[0]


def keys(title: str) -> set[str]:
    """What the first column of a section's table names."""
    rows = re.findall(r"^\| (`[^|]*) \|", section(title), re.MULTILINE)
    return {key for row in rows for key in re.findall(r"`([^`]+)`", row)}


def test_every_fact_is_told() -> None:
    assert keys("Facts") == set(Facts.model_fields)


def test_every_answer_is_told() -> None:
    assert keys("What became of it") == set(Told.model_fields)
    assert all(f"`{key}`" in section("What became of it") for key in FaultTold.model_fields)


@pytest.mark.parametrize("route", [route for route in router.routes if getattr(route, "path", "")])
def test_every_route_is_told(route: object) -> None:
    path = str(getattr(route, "path", "")).replace("{digest}", "{sha256}")
    (method,) = getattr(route, "methods", ("",))
    assert f"`{method} {path}`" in PAGE


def test_the_limits_are_those_of_the_code() -> None:
    assert f"{spool.PIECE_BYTES // MIB} MiB" in PAGE
    assert f"a log past {DEFAULT_LIMITS.max_bytes // MIB // 1024} GiB" in PAGE
    assert f"{spool.MOST_BYTES // MIB // 1024} GiB on their way" in PAGE
    assert spool.KEPT_FOR.days == 3
    assert "three\ndays" in PAGE
