"""Rows of the verdict page: told of whoever is in front, as the heading is; and each change told once."""

from __future__ import annotations

from dataclasses import replace

from tests.publish.test_verdict_words import BEHIND, DRELL, LEVEL, PAIR, PLAY, plain
from validation.workshops import SALTMARSH_TESTS, case_of, saltmarsh_cells

from evenhand.desk.pages.verdict_rows import (
    AudienceRow,
    FlipRow,
    audience_rows,
    by_change,
    flip_rows,
    more_flips,
    telling_flips,
)
from evenhand.desk.verdict.judged import ForAudience
from evenhand.publish.picture import Picture
from evenhand.publish.verdict_answer import verdict_answer
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move
from evenhand.verdicts.verdict import Verdict

CASE = case_of(PLAY, saltmarsh_cells(), tests=SALTMARSH_TESTS)


def row_of(verdict: Verdict) -> AudienceRow:
    told = ForAudience(audience=PLAY, case=CASE, verdicts=(verdict,))
    return audience_rows([told], PAIR, currency=DRELL, here="play", addresses={}).rows[0]


def test_a_row_tells_the_number_of_the_heading() -> None:
    row = row_of(BEHIND).row
    assert (plain(row.state), plain(row.interval)) == ("Dunlin ahead 5.3 %", "4.2 to 6.4")
    assert "Dunlin is ahead of Plover by 5.3 %" in plain(
        verdict_answer([(PLAY, BEHIND)], PAIR, currency=DRELL)
    )
    assert "Dunlin ahead 5.3 %, 4.2 to 6.4" in plain(row.picture.title)


def test_level_with_the_second_in_front_is_told_of_the_second() -> None:
    turned = replace(
        LEVEL,
        ratio=1 / LEVEL.ratio,
        low=1 / 1.0216,
        high=1 / 1.0068,
        bound_low=1 / 1.0202,
        bound_high=1 / 1.0082,
    )
    row = row_of(turned).row
    assert (row.state, plain(row.interval)) == ("Level", "Dunlin +1.4 % (90 %: +0.8 to +2.0)")


def test_an_audience_without_a_verdict_is_told_as_that_and_not_as_unsettled() -> None:
    told = ForAudience(audience=PLAY, case=CASE)
    (row,) = audience_rows([told], PAIR, currency=DRELL, here="play", addresses={}).rows
    assert (row.row.state, row.row.interval) == ("No verdict", "nothing that it weighs was measured")


def flip(aspect: Aspect, becomes: int, *, pair: tuple[str, str] = ("plover", "dunlin")) -> Flip:
    move = Move(lever=Lever.TITLE, name="causeway", size=0.16)
    return Flip(a=pair[0], b=pair[1], aspect=aspect, moves=(move,), was=0, becomes=becomes, ratio=1.0)


def test_a_change_that_puts_one_ahead_is_not_told_again_as_putting_it_in_front() -> None:
    found = (flip(Aspect.ORDER, 1), flip(Aspect.OUTCOME, 1), flip(Aspect.VALUE, 1))
    assert telling_flips(found, ("plover", "dunlin")) == found[1:]
    against = (flip(Aspect.ORDER, -1), flip(Aspect.OUTCOME, 0))
    assert telling_flips(against, ("plover", "dunlin")) == against


def test_one_change_is_told_once_with_all_that_it_turns() -> None:
    told = flip(Aspect.ORDER, -1), flip(Aspect.OUTCOME, 0)
    other = replace(told[0], moves=(Move(lever=Lever.TITLE, name="tramlines", size=0.2),))
    assert by_change((*told, other)) == (told, (other,))
    (row, _) = flip_rows((*told, other), LEVEL, PAIR, currency=DRELL, runs={})
    assert row.effect == "Dunlin is then in front of Plover, and Plover and Dunlin are level."


def test_flips_of_other_pairs_are_left_to_theirs() -> None:
    other = flip(Aspect.OUTCOME, 1, pair=("plover", "wren"))
    assert telling_flips((other, flip(Aspect.OUTCOME, 1)), ("plover", "wren")) == (other,)


def test_flips_that_are_shown_only_when_asked_for_are_counted_in_words_of_the_page() -> None:
    row = FlipRow(
        change="", small="", picture=Picture(svg="", width=0, height=0, title="", description=""), effect=""
    )
    assert more_flips((row,) * 9) == "Two larger changes would flip something too"
    assert more_flips((row,) * 7) == ""
