"""A sentence is understood once while all that it hangs on stays, and as if nothing were remembered."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenhand.demo.narration import first_draft
from evenhand.prose import understanding
from evenhand.prose.ground import Ground
from evenhand.prose.hearing import hear
from evenhand.prose.reading import Made, Reading
from evenhand.prose.rules import rules
from evenhand.prose.script import Script, parse
from evenhand.prose.understanding import Listener

TOLD = (
    "In Salt Causeway, Plover is ahead of Wren. In Nine Tramlines, Dunlin leads. "
    "Plover costs {price of plover}."
)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The sentences that were worked out."""
    found: list[str] = []

    def noted(reading: Reading, *others: object) -> Made:
        found.append(reading.sentence.text)
        return claims_of(reading, *others)  # type: ignore[arg-type]

    claims_of = understanding.claims_of
    monkeypatch.setattr(understanding, "claims_of", noted)
    return found


def renamed(ground: Ground, key: str) -> Ground:
    tests = tuple(replace(t, name="Pepper Stairs") if t.key == key else t for t in ground.tests)
    return replace(ground, tests=tests)


def without(ground: Ground, address: str) -> Ground:
    figures = {at: figure for at, figure in ground.quotables.figures.items() if at != address}
    return replace(ground, quotables=replace(ground.quotables, figures=figures))


def test_only_what_a_new_name_changes_is_worked_out_anew(ground: Ground, asked: list[str]) -> None:
    script, listener = parse(TOLD), Listener(ground, rules())
    before = hear(script, ground, rules(), listener=listener)
    assert len(asked) == 3
    asked.clear()
    other = renamed(ground, "tramlines")
    now = hear(script, other, rules(), listener=listener)
    assert len(asked) == 2  # the one that named it, and the one behind it, since "here" means no test now
    assert now[0].made == before[0].made
    assert now == hear(script, other, rules())


def test_only_who_told_a_figure_that_is_gone_is_worked_out_anew(ground: Ground, asked: list[str]) -> None:
    script, listener = parse(TOLD), Listener(ground, rules())
    hear(script, ground, rules(), listener=listener)
    asked.clear()
    other = without(ground, ground.quotables.full("price of plover"))
    now = hear(script, other, rules(), listener=listener)
    assert len(asked) == 1
    assert now == hear(script, other, rules())


def test_a_sentence_that_is_moved_down_is_not_worked_out_again(ground: Ground, asked: list[str]) -> None:
    listener = Listener(ground, rules())
    hear(parse(TOLD), ground, rules(), listener=listener)
    asked.clear()
    hear(parse(f"\n\n{TOLD}"), ground, rules(), listener=listener)
    assert asked == []


@pytest.mark.parametrize("drop", ["price of plover-mild", "rate of wren-mild in causeway", ""])
@pytest.mark.parametrize("test", ["causeway", "export", ""])
def test_what_is_remembered_says_what_is_worked_out(ground: Ground, drop: str, test: str) -> None:
    script: Script = parse(first_draft(), abbreviations=rules().abbreviations)
    listener = Listener(ground, rules())
    hear(script, ground, rules(), listener=listener)
    other = renamed(without(ground, drop), test)
    assert hear(script, other, rules(), listener=listener) == hear(script, other, rules())
