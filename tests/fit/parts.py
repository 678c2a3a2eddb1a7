"""Parts for the tests of the rules, said in short."""

from __future__ import annotations

from typing import Any

from evenhand.fit.answers import Answer
from evenhand.fit.asking import Fit, answer_of, fits
from evenhand.fit.reading import Item


def part(kind: str, key: str = "", **facts: Any) -> Item:
    """A part of a kind with these facts."""
    return Item(key=key or kind, kind=kind, name=kind.capitalize(), facts=facts)


def said(rule: str, *build: Item) -> Answer | None:
    """What a rule says of a build, None where it is not asked."""
    found = told(rule, *build)
    return answer_of(found) if found else None


def told(rule: str, *build: Item) -> list[Fit]:
    """All that a rule says of a build."""
    return [each for each in fits(build) if each.rule.key == rule]
