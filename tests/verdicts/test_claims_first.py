"""Who is first of all must be ahead of every other setup of the study."""

from dataclasses import replace

import pytest
from tests.verdicts.ladder_cases import backing, finding, three

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.verdicts.claims import Kind
from evenhand.verdicts.ladder import standing


def test_first_of_all_needs_every_pair():
    ahead = Outcome.AHEAD
    assert standing(Kind.SUPERLATIVE, three(ahead, ahead, ahead), says=ahead).allowed
    short = standing(Kind.SUPERLATIVE, three(ahead, Outcome.UNSETTLED, ahead), says=ahead)
    assert (short.allowed, short.reason.told()) == (False, "not called ahead of wren")


def test_first_of_all_of_a_third_setup_is_what_would_stand():
    found = standing(
        Kind.SUPERLATIVE, three(Outcome.AHEAD, Outcome.BEHIND, Outcome.BEHIND), says=Outcome.AHEAD
    )
    assert not found.allowed
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told == "Over these 6 tests, wren is ahead of plover and dunlin, all that was compared."


def test_first_of_all_needs_an_index_with_every_rival():
    made = three(Outcome.AHEAD, Outcome.AHEAD, Outcome.AHEAD)
    gone = tuple(i for i in made.comparison.indexes if i.b != "wren")
    found = standing(
        Kind.SUPERLATIVE, replace(made, comparison=replace(made.comparison, indexes=gone)), says=Outcome.AHEAD
    )
    assert found.reason.told() == "nothing that was measured holds it against wren, or not one way"


@pytest.mark.parametrize("about", ["", "games"])
def test_over_a_single_test_its_own_finding_puts_one_first(about):
    """There is no index over one test, yet the record does hold the two against each other there."""
    alone = backing([finding("quay", Outcome.AHEAD)], [])
    found = standing(Kind.SUPERLATIVE, alone, about=about, says=Outcome.AHEAD)
    assert found.allowed
    assert found.would_stand is not None
    assert found.would_stand.told() == "In quay, plover is ahead of dunlin, all that was compared."
    level = backing([finding("quay", Outcome.LEVEL)], [])
    why = standing(Kind.SUPERLATIVE, level, about=about, says=Outcome.AHEAD)
    assert (why.allowed, why.reason.told()) == (False, "not called ahead of dunlin")


def test_no_single_test_speaks_where_several_were_measured():
    two = backing([finding("quay", Outcome.AHEAD), finding("weir", Outcome.AHEAD)], [])
    assert not standing(Kind.SUPERLATIVE, two, says=Outcome.AHEAD).allowed


def test_the_quietest_is_quieter_than_every_other():
    def gap(a, b, outcome):
        return Gap(topic=Topic.SOUND, a=a, b=b, outcome=outcome, difference=-3.0, margin=1.0)

    three_ways = three(Outcome.AHEAD, Outcome.AHEAD, Outcome.AHEAD)
    ab, bc = gap("plover", "dunlin", Outcome.AHEAD), gap("dunlin", "wren", Outcome.AHEAD)
    short = replace(three_ways, gaps=(ab, bc))
    whole = replace(three_ways, gaps=(ab, bc, gap("plover", "wren", Outcome.AHEAD)))
    assert not standing(Kind.SUPERLATIVE, short, about="noise", says=Outcome.AHEAD).allowed
    assert standing(Kind.SUPERLATIVE, whole, about="noise", says=Outcome.AHEAD).allowed
