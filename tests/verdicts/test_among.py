"""Who is ahead of all others follows from pairs that were called, and from nothing else."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.verdicts.ladder_cases import CELLS
from validation.workshops import MOSTLY_PLAY, PRICES, case_of

from evenhand.findings.finding import Outcome
from evenhand.money.break_even import Value
from evenhand.verdicts.among import among
from evenhand.verdicts.verdict import Verdict, verdicts

AHEAD, BEHIND, LEVEL, OPEN = Outcome.AHEAD, Outcome.BEHIND, Outcome.LEVEL, Outcome.UNSETTLED
THREE = ("a", "b", "c")


def said(a, b, outcome, value=Value.UNKNOWN):
    return Verdict(
        audience="x", a=a, b=b, outcome=outcome, ratio=1.0, low=None, high=None, bound_low=None,
        bound_high=None, p_holm=None, value=value,
    )  # fmt: skip


def of_three(ab, ac, bc, **more):
    pairs = list(combinations(THREE, 2))
    found = among([said(*pair, o, **more) for pair, o in zip(pairs, (ab, ac, bc), strict=True)], pairs)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("outcomes", "first", "unbeaten", "level"),
    [
        ((AHEAD, AHEAD, OPEN), "a", ("a",), False),
        ((BEHIND, AHEAD, AHEAD), "b", ("b",), False),
        ((OPEN, BEHIND, BEHIND), "c", ("c",), False),
        ((AHEAD, OPEN, OPEN), None, ("a", "c"), False),
        ((AHEAD, OPEN, AHEAD), None, ("a",), False),
        ((LEVEL, AHEAD, AHEAD), None, ("a", "b"), True),
        ((LEVEL, AHEAD, OPEN), None, ("a", "b"), False),
        ((LEVEL, LEVEL, LEVEL), None, THREE, True),
        ((LEVEL, LEVEL, OPEN), None, THREE, False),
        ((OPEN, OPEN, OPEN), None, THREE, False),
        ((AHEAD, BEHIND, AHEAD), None, (), False),
    ],
)
def test_only_who_was_called_ahead_of_every_other_is_first(outcomes, first, unbeaten, level):
    front = of_three(*outcomes).ahead
    assert (front.first, front.unbeaten, front.level) == (first, unbeaten, level)


def test_two_need_no_more_than_their_pair():
    assert among([said("a", "b", AHEAD)], [("a", "b")]) is None


def test_a_pair_without_a_verdict_leaves_both_in_front_and_a_setup_without_any_out():
    pairs = [("a", "b"), ("a", "c"), ("b", "c"), ("a", "d")]
    found = among([said("a", "b", AHEAD), said("b", "c", BEHIND)], pairs)
    assert found is not None
    assert (found.ahead.first, found.ahead.unbeaten, found.left_out) == (None, ("a", "c"), ("d",))


def test_value_is_told_of_those_whose_value_is_known():
    pairs = [("a", "b"), ("a", "c"), ("b", "c")]
    some = [said("a", "b", AHEAD, Value.B), said("a", "c", AHEAD), said("b", "c", AHEAD)]
    found = among(some, pairs)
    assert found is not None
    assert found.value is not None
    assert (found.value.setups, found.value.first) == (("a", "b"), "b")
    assert of_three(AHEAD, AHEAD, AHEAD).value is None
    assert of_three(AHEAD, AHEAD, AHEAD, value=Value.LEVEL).value.level


@given(st.integers(3, 6), st.data())
def test_it_holds_what_the_pairs_say(n, data):
    setups = [f"s{i}" for i in range(n)]
    pairs = list(combinations(setups, 2))
    found = [said(*pair, data.draw(st.sampled_from(Outcome))) for pair in pairs]
    told = among(found, pairs)
    assert told is not None
    beaten = {v.b for v in found if v.outcome is AHEAD} | {v.a for v in found if v.outcome is BEHIND}
    assert set(told.ahead.unbeaten) == set(setups) - beaten
    wins = [
        sum(v.outcome is (AHEAD if v.a == s else BEHIND) for v in found if s in (v.a, v.b)) for s in setups
    ]
    assert [told.ahead.first == s for s in setups] == [won == n - 1 for won in wins]


def test_the_workshop_has_two_level_in_front_and_one_better_value():
    found = verdicts(case_of(MOSTLY_PLAY, CELLS, prices=PRICES))
    told = among(found, [(v.a, v.b) for v in found])
    assert told is not None
    assert (told.ahead.unbeaten, told.ahead.level) == (("plover", "dunlin"), True)
