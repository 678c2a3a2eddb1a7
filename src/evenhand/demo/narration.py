"""A script for the Saltmarsh workshop, as it was first written and as it stands after the sentence check."""

from __future__ import annotations

from importlib import resources


def first_draft() -> str:
    """What a reviewer may write without looking twice: nearly every sentence goes beyond the record."""
    return _script("before")


def checked_draft() -> str:
    """The same with references for figures and sentences that the record bears."""
    return _script("after")


def _script(name: str) -> str:
    return (resources.files("evenhand.demo") / "scripts" / f"{name}.md").read_text(encoding="utf-8")
