"""What was measured may be told as it was found, and not otherwise."""

from dataclasses import replace

import pytest
from tests.verdicts.ladder_cases import BOUGHT, backing, finding, index, workshop

from evenhand.findings.finding import Caveat, Outcome
from evenhand.money.break_even import BreakEven, Value, is_near
from evenhand.verdicts.claims import Kind, Rung
from evenhand.verdicts.ladder import standing


@pytest.mark.parametrize("outcome", [Outcome.AHEAD, Outcome.BEHIND, Outcome.LEVEL])
def test_a_called_test_may_be_told_as_it_is_and_not_otherwise(outcome):
    made = backing([finding("quay", outcome)], [])
    assert standing(Kind.TEST, made, about="quay").allowed
    allowed = {says for says in Outcome if standing(Kind.TEST, made, about="quay", says=says).allowed}
    assert allowed == {outcome}


def test_an_unsettled_test_bears_no_sentence():
    found = standing(Kind.TEST, backing([finding("quay", Outcome.UNSETTLED)], []), about="quay")
    assert (found.allowed, found.would_stand) == (False, None)
    assert found.reason.key == "test-unsettled"


def test_an_unsettled_index_says_so_in_the_sentence_that_would_stand():
    found = standing(Kind.INDEX, backing(indexes=[index(Outcome.UNSETTLED, group="")]))
    assert not found.allowed
    assert found.would_stand is not None
    assert found.would_stand.told() == "Over these 6 tests, plover and dunlin are unsettled."


def test_level_within_the_margin_stands_where_it_was_found():
    made = backing([finding("quay", Outcome.LEVEL)], [])
    assert standing(Kind.LEVEL, made, about="quay").rung is Rung.SCENE
    assert standing(Kind.LEVEL, made, about="quay").allowed


def test_no_difference_never_stands_and_level_would():
    made = backing([finding("quay", Outcome.LEVEL)], [])
    found = standing(Kind.NO_DIFFERENCE, made, about="quay")
    assert not found.allowed
    assert found.would_stand is not None
    assert found.would_stand.told() == "In quay, plover and dunlin are level within 3 %."


def test_level_that_was_not_found_names_the_interval_that_was_held_against_the_margin():
    found = standing(Kind.LEVEL, backing(), about="games")
    told = "the interval +9.1 to +10.9 %, plover over dunlin, reaches beyond 3 %, so that level is not shown"
    assert found.reason.told() == told


def test_a_range_is_told_of_the_one_in_front_with_both_named():
    made = backing([finding("quay", Outcome.UNSETTLED, ratio=0.98, low=0.8, high=1.25)], [])
    said = standing(Kind.TEST, made, about="quay").reason.told()
    assert said == "unsettled: −20 to +25 %, dunlin over plover, allows no difference, and more than 3 %"
    other = standing(Kind.TEST, made, about="quay", says=Outcome.AHEAD).reason.told()
    assert other.startswith("unsettled: −20 to +25 %, plover over dunlin, ")
    index_behind = standing(Kind.LEVEL, backing(indexes=[index(Outcome.BEHIND)]), about="games").reason
    assert index_behind.told().startswith("the interval +10 to +12.2 %, dunlin over plover, reaches beyond")


def test_value_needs_prices_with_a_date():
    assert standing(Kind.VALUE, workshop(), says=Outcome.AHEAD).allowed
    assert standing(Kind.VALUE, workshop(priced_on={})).reason.told() == "the prices carry no date"
    bare = standing(Kind.VALUE, workshop(prices={"plover": 99800}, priced_on={"plover": BOUGHT["plover"]}))
    assert bare.reason.told() == "no price on record for dunlin"


def test_a_price_in_another_currency_only_is_another_reason_than_none():
    other = workshop(
        prices={"plover": 99800}, priced_on={"plover": BOUGHT["plover"]},
        priced_elsewhere=frozenset({"dunlin"}),
    )  # fmt: skip
    said = standing(Kind.VALUE, other).reason.told()
    assert said == "dunlin priced in another currency only, and no rate of its day is on record"


def test_value_says_up_to_which_price():
    found = standing(Kind.VALUE, workshop())
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told.startswith("For play, plover is better value than dunlin while plover costs less than 1,02")
    assert told.endswith(", prices of 2026-11-24.")


@pytest.mark.parametrize(("half", "allowed"), [(0.02, True), (0.05, False)])
def test_what_is_not_told_apart_by_value_is_level_only_within_the_margin(half: float, allowed: bool):
    made = workshop()
    assert made.verdict is not None
    even = BreakEven(at=100000.0, low=100000 * (1 - half), high=100000 * (1 + half))
    level = replace(
        made.verdict, value=Value.LEVEL, prices=(100000, 100000), break_even=even,
        value_open=not is_near(100000, against=even, margin=0.03),
    )  # fmt: skip
    found = standing(Kind.VALUE, replace(made, verdict=level), says=Outcome.LEVEL)
    assert found.allowed is allowed
    if not allowed:
        assert found.reason.told() == (
            "beside dunlin and for play, plover is worth anything from 950.00 to 1,050.00, which reaches "
            "more than 3 % from its price: the two are not told apart by value, which is not level"
        )
        assert found.would_stand is None


def test_of_an_audience_the_one_in_front_is_named_first():
    found = standing(Kind.AUDIENCE, workshop("wren", "plover"))
    assert found.would_stand is not None
    assert found.would_stand.told().startswith("For play, plover is ahead of wren by 30.")


def test_a_lead_that_may_be_too_small_to_matter_says_so():
    found = standing(Kind.INDEX, workshop(), about="games")
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told.endswith("by 2.66 % (2.19 to 3.13), perhaps by less than the 3 % that matter.")


def test_tests_and_indexes_are_told_of_whoever_is_ahead():
    made = backing(
        [finding("quay", Outcome.BEHIND)], [index(Outcome.BEHIND), index(Outcome.BEHIND, group="")]
    )
    for kind, about in ((Kind.TEST, "quay"), (Kind.INDEX, ""), (Kind.INDEX, "games")):
        said = standing(kind, made, about=about).would_stand
        assert said is not None
        assert "dunlin is ahead of plover by " in said.told()
        (lead,) = (slot for name, slot in said.slots.items() if name == "lead")
        ratio, low, high = lead.values
        assert 1 < low < ratio < high


def test_a_verdict_without_a_number_for_all_its_weight_is_never_told_without_saying_so():
    made = workshop()
    words = "20 % of the weight stands on what has no number: {tests}"
    lacks = Caveat(key="not-measured", words=words, tests=("noise",))
    found = standing(Kind.AUDIENCE, replace(made, verdict=replace(made.verdict, caveats=(lacks,))))
    assert found.would_stand is not None
    assert found.would_stand.told().endswith("; 20 % of the weight stands on what has no number: noise.")
