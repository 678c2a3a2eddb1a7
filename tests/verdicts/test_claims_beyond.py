"""Titles nobody tested hang on their own interval; nothing lasts on this record."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.verdicts.ladder_cases import GAMES, backing, index, rung, workshop

from evenhand.findings.finding import Caveat, Outcome
from evenhand.verdicts.claims import Kind, Rung, Shown
from evenhand.verdicts.fewest import FEWEST_TESTS
from evenhand.verdicts.ladder import standing


def test_a_title_not_tested_may_fall_far_to_either_side():
    said = rung(workshop(), Rung.UNTESTED).reason
    low, high = said.slots["range"].values
    assert (round(100 * (low - 1)), round(100 * (high - 1))) == (-27, 44)
    assert said.told().startswith(
        "a title not tested may fall anywhere from −26.9 to +44.1 %, plover over dunlin; "
    )


def test_a_range_is_told_of_whoever_the_sentence_puts_in_front():
    """Beside "dunlin is ahead by …" a range of plover over dunlin would read with the other sign."""
    made = backing(indexes=[index(Outcome.BEHIND, predicted=(0.8, 1.25)), index(Outcome.BEHIND, group="")])
    behind = standing(Kind.FORECAST, made, about="games", says=Outcome.BEHIND)
    ahead = standing(Kind.FORECAST, made, about="games", says=Outcome.AHEAD)
    assert (
        behind.reason.told() == "a title not tested may fall anywhere from −20 to +25 %, dunlin over plover"
    )
    assert ahead.reason.told() == "a title not tested may fall anywhere from −20 to +25 %, plover over dunlin"
    lopsided = backing(indexes=[index(Outcome.BEHIND, predicted=(0.5, 1.1))])
    told = "a title not tested may fall anywhere from −9.09 to +100 %, dunlin over plover"
    assert standing(Kind.FORECAST, lopsided, about="games").reason.told() == told
    assert rung(lopsided, Rung.UNTESTED).reason.told() == told


def test_the_rung_is_told_of_whoever_the_verdict_has_in_front():
    """A group may point the other way than the verdict: the rung stands under the verdict's own sentence."""
    made = workshop("wren", "plover")
    assert made.verdict is not None
    assert made.verdict.ratio < 1
    assert rung(made, Rung.UNTESTED).reason.told().partition(" %, ")[2].startswith("plover over wren")


def test_a_forecast_puts_the_one_ahead_first():
    made = backing(indexes=[index(Outcome.BEHIND, predicted=(0.8, 0.95)), index(Outcome.BEHIND, group="")])
    found = standing(Kind.FORECAST, made, about="games")
    assert found.would_stand is not None
    told = "In games not tested, dunlin is likely ahead of plover, by +5.26 to +25 %."
    assert found.would_stand.told() == told


def test_a_range_from_few_tests_is_told_as_no_forecast():
    made = backing(indexes=[index(Outcome.AHEAD, predicted=(1.19, 1.38), tests=GAMES[:5])])
    assert standing(Kind.FORECAST, made, about="games").reason.told() == (
        "the range from 5 tests, +19 to +38 %, plover over dunlin, is no forecast: "
        "6 tests of one sort are needed"
    )


@pytest.mark.parametrize(
    ("outcome", "predicted", "count", "key"),
    [
        (Outcome.AHEAD, (1.001, 1.3), 6, "forecast-clear"),
        (Outcome.BEHIND, (0.7, 0.999), 6, "forecast-clear"),
        (Outcome.LEVEL, (0.975, 1.025), 6, "forecast-within"),
        (Outcome.AHEAD, (0.999, 1.3), 6, "forecast-open"),
        (Outcome.LEVEL, (0.97, 1.025), 6, "forecast-open"),
        (Outcome.AHEAD, (0.02, 64.7), 2, "forecast-wide"),
        (Outcome.AHEAD, (0.999, 1.3), FEWEST_TESTS - 1, "forecast-open-few"),
        (Outcome.AHEAD, (1.001, 1.3), FEWEST_TESTS - 1, "forecast-few"),
        (Outcome.UNSETTLED, (1.001, 1.3), 6, "forecast-not-called"),
        (Outcome.AHEAD, (None, None), 6, "forecast-none"),
    ],
)
def test_titles_not_tested_hang_on_their_own_interval(outcome, predicted, count, key):
    made = backing(indexes=[index(outcome, predicted=predicted, tests=GAMES[:count])])
    found = standing(Kind.FORECAST, made, about="games")
    assert found.reason.key == key
    assert found.allowed is (key in ("forecast-clear", "forecast-within"))


def test_an_error_that_all_tests_may_share_forbids_a_forecast():
    shared = [Caveat(key="allowance", words="…")]
    made = backing(indexes=[index(Outcome.AHEAD, predicted=(1.05, 1.2), caveats=shared)])
    assert standing(Kind.FORECAST, made, about="games").reason.key == "forecast-shared"


def test_a_forecast_for_one_group_is_no_forecast_for_all():
    good, wide = index(Outcome.AHEAD, predicted=(1.02, 1.2)), index(Outcome.AHEAD, group="work")
    made = backing(indexes=[good, wide])
    answer = rung(made, Rung.UNTESTED)
    assert (answer.shown, answer.reason.told()) == (Shown.PARTLY, "for games only")
    assert standing(Kind.FORECAST, made, about="games").allowed
    assert not standing(Kind.FORECAST, made).allowed


def test_groups_that_point_different_ways_foretell_nothing_together():
    made = backing(
        indexes=[
            index(Outcome.AHEAD, predicted=(1.02, 1.2)),
            index(Outcome.BEHIND, predicted=(0.8, 0.98), group="work"),
        ]
    )
    assert standing(Kind.FORECAST, made).reason.key == "forecast-apart"


@given(st.floats(0.5, 1.5), st.floats(0.0, 0.5), st.integers(2, 12), st.sampled_from(Outcome))
def test_a_forecast_is_never_bolder_than_its_interval(middle, half, count, outcome):
    low, high = middle * (1 - half), middle * (1 + half)
    tests = tuple(f"t{i}" for i in range(count))
    found = standing(
        Kind.FORECAST, backing(indexes=[index(outcome, predicted=(low, high), tests=tests)]), about="games"
    )
    if found.allowed:
        assert count >= FEWEST_TESTS
        assert low > 1 or high < 1 or (low > 1 / 1.03 and high < 1.03)


def test_nothing_ever_lasts():
    found = standing(Kind.LASTING, workshop())
    assert (found.allowed, found.rung) == (False, Rung.LASTING)
    assert found.reason.told() == "no ageing trials: all was measured once, over 10 boots"
    assert found.would_stand is not None
    assert found.would_stand.told() == "Measured over 90 runs and 10 boots; nothing is known of later."
