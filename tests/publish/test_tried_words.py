"""What was tried on a verdict that nothing turns: only what there is."""

from __future__ import annotations

from evenhand.publish.tried_words import nothing_turns, tried_words
from evenhand.verdicts.moves import Lever

FEW = frozenset({Lever.MARGIN, Lever.TITLE, Lever.WEIGHT})


def plain(said: str) -> str:
    return said.replace("\u00a0", " ")


def test_nothing_is_said_to_have_been_tried_that_there_was_none_of() -> None:
    assert plain(nothing_turns(FEW, value=False)) == (
        "Nothing that was tried changes who is ahead: no weight, no other margin up to 20 % and no test left "
        "out."
    )
    assert plain(tried_words(FEW, value=False)) == (
        "Tried one by one: each weight from nothing to all, every margin up to 20 % and each test left out. "
        "None of it changes who is ahead. "
        "There was no price of both, no run that was left out and no 1% lows to try."
    )


def test_all_of_them_leave_nothing_out() -> None:
    said = plain(tried_words(frozenset(Lever), value=True))
    assert said.endswith("None of it changes who is ahead or better value.")


def test_one_machine_beside_itself_has_nothing_to_turn() -> None:
    assert nothing_turns(frozenset(), value=True).startswith("Nothing differs between the two")
