"""A part is a cause where a swap tells it apart, and only there."""

from dataclasses import replace

from tests.verdicts.ladder_cases import GAMES, backing, cause, finding, rung, swapped_workshop

from evenhand.findings.cause import Standing as CauseStanding
from evenhand.findings.finding import Outcome
from evenhand.stats.designs import Change
from evenhand.verdicts.claims import Kind, Rung, Shown
from evenhand.verdicts.ladder import standing


def test_a_cause_stands_for_the_tests_in_which_a_swap_tells_the_part_apart():
    swapped = [cause(t, "graphics") for t in ("quay", "weir")]
    bundled = [
        cause(t, "processor", "graphics", standing=CauseStanding.BUNDLED)
        for t in GAMES
        if t not in ("quay", "weir")
    ]
    made = backing(causes=(*swapped, *bundled))
    answer = rung(made, Rung.CAUSE)
    assert (answer.shown, answer.tests) == (Shown.PARTLY, ("quay", "weir"))
    told = answer.reason.told()
    assert told == "for quay and weir only, where a swap tells graphics apart from all else"
    assert not standing(Kind.CAUSE, made, about="graphics").allowed
    assert standing(Kind.CAUSE, made, about="graphics", tests=("quay",)).allowed


def test_parts_that_changed_together_are_named_together():
    made = backing(
        causes=tuple(cause(t, "processor", "graphics", standing=CauseStanding.BUNDLED) for t in GAMES)
    )
    found = standing(Kind.CAUSE, made, about="graphics")
    told = found.reason.told()
    assert told == "processor and graphics changed together, and no setup on record tells them apart"
    assert found.would_stand is not None
    assert "which of them does is not known" in found.would_stand.told()


def test_what_may_have_changed_as_well_is_told_and_nothing_is_said_of_both_together():
    bundled = [cause(t, "processor", "graphics", standing=CauseStanding.BUNDLED) for t in GAMES]
    unread = Change(factor="graphics", low="not on record", high="g1")
    made = backing(causes=tuple(replace(c, changes=(c.changes[0], unread)) for c in bundled))
    found = standing(Kind.CAUSE, made, about="processor")
    assert found.reason.told() == "whether graphics changed as well is not on record"
    assert found.would_stand is None


def test_a_part_that_works_the_other_way_is_no_cause():
    made = backing(causes=tuple(cause(t, "graphics", outcome=Outcome.BEHIND) for t in GAMES))
    found = standing(Kind.CAUSE, made, about="graphics")
    assert (found.allowed, found.reason.key) == (False, "cause-otherwise")


def test_a_part_without_an_effect_that_matters_is_no_cause():
    made = backing(causes=tuple(cause(t, "memory", outcome=Outcome.LEVEL) for t in GAMES))
    assert standing(Kind.CAUSE, made, about="memory").reason.key == "cause-small"


def test_a_whole_swap_bears_the_rung():
    made = backing(causes=tuple(cause(t, "graphics") for t in GAMES))
    assert rung(made, Rung.CAUSE).shown is Shown.SHOWN
    assert standing(Kind.CAUSE, made, about="graphics", says=Outcome.AHEAD).allowed
    assert not standing(Kind.CAUSE, made, about="graphics", says=Outcome.BEHIND).allowed


def test_where_nobody_is_ahead_there_is_nothing_to_explain():
    made = backing([finding(t, Outcome.LEVEL) for t in GAMES], causes=(cause("quay", "graphics"),))
    assert rung(made, Rung.CAUSE).reason.key == "cause-nothing-to-explain"


def test_a_part_both_have_is_no_cause():
    made = backing(causes=tuple(cause(t, "graphics") for t in GAMES))
    assert standing(Kind.CAUSE, made, about="board").reason.told() == "the two do not differ in board"


def test_a_swap_in_two_of_three_tests_bears_the_rung_in_part():
    answer = rung(swapped_workshop(), Rung.CAUSE)
    assert answer.shown is Shown.PARTLY
    told = answer.reason.told()
    assert told == "for quay and weir only, where a swap tells graphics apart from all else"
