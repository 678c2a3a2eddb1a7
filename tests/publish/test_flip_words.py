"""Flips in words: on which single tests a verdict hangs."""

from __future__ import annotations

from evenhand.publish.flip_words import leans_words
from evenhand.publish.names import Names
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move
from evenhand.verdicts.standing import UNSETTLED

NAMES = Names(setups={}, tests={})
PAIR = ("plover", "dunlin")


def left_out(test: str, *, aspect: Aspect = Aspect.OUTCOME, b: str = "dunlin", was: int = 1) -> Flip:
    move = Move(lever=Lever.TITLE, name=test, size=0.1)
    return Flip(a="plover", b=b, aspect=aspect, moves=(move,), was=was, becomes=1 - was, ratio=1.0)


def test_the_tests_that_a_verdict_hangs_on_are_named() -> None:
    assert leans_words([left_out("tram")], PAIR, NAMES) == (
        "It leans on one test: without tram another verdict stands."
    )
    both = leans_words([left_out("tram"), left_out("choir")], PAIR, NAMES)
    assert both == "It leans on single tests: without tram or without choir another verdict stands."


def test_where_nothing_is_called_no_other_verdict_takes_its_place() -> None:
    open_ = left_out("tram", was=UNSETTLED)
    assert leans_words([open_], PAIR, NAMES) == "It leans on one test: without tram a verdict would stand."
    order = left_out("choir", aspect=Aspect.ORDER)
    assert leans_words([open_, order], PAIR, NAMES) == (
        "It leans on single tests: without tram a verdict would stand; without choir only the order turns."
    )


def test_a_test_that_turns_only_who_is_in_front_is_told_as_that() -> None:
    order = left_out("choir", aspect=Aspect.ORDER)
    assert leans_words([order], PAIR, NAMES) == "It leans on one test: without choir only the order turns."
    assert leans_words([left_out("tram"), left_out("tram", aspect=Aspect.ORDER), order], PAIR, NAMES) == (
        "It leans on single tests: without tram another verdict stands; "
        "without choir the verdict stands and the order turns."
    )


def test_nothing_is_said_of_other_pairs_or_of_other_changes() -> None:
    margin = Flip(
        a="plover", b="dunlin", aspect=Aspect.OUTCOME, was=1, becomes=0, ratio=1.0,
        moves=(Move(lever=Lever.MARGIN, name="", size=0.1),),
    )  # fmt: skip
    others = [left_out("tram", b="wren"), left_out("tram", b="wren", aspect=Aspect.ORDER), margin]
    assert leans_words(others, PAIR, NAMES) == ""
