"""How far beyond its runs a sentence may reach is decided by the record, kind by kind."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.findings.bench import around, cell, machine
from tests.verdicts.ladder_cases import GAMES, backing, cause, finding, index
from validation.workshops import MOSTLY_PLAY, PRICES, case_of, saltmarsh_cells, study_of

from evenhand.errors import NotFound
from evenhand.findings.cause import Standing as CauseStanding
from evenhand.findings.causes import Bench, causes
from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.records.studies import Study
from evenhand.verdicts.backing import Backing
from evenhand.verdicts.claim_words import ASKS, MARKERS, RUNG_NAMES
from evenhand.verdicts.claims import As, Kind, Rung, Shown
from evenhand.verdicts.claims_beyond import FEWEST_TESTS
from evenhand.verdicts.ladder import JUDGES, ladder, standing
from evenhand.verdicts.publishable import publishable, refusals_of
from evenhand.verdicts.verdict import verdicts

CELLS = saltmarsh_cells()
STUDY = study_of(CELLS)
COMPARISON = compare_study(CELLS, study=STUDY)
BOUGHT = {setup: date(2026, 11, 24) for setup in PRICES}


def workshop(a="plover", b="dunlin", *, prices=PRICES, **more):
    """A pair of the Saltmarsh workshop before a room that mostly plays."""
    found = verdicts(case_of(MOSTLY_PLAY, CELLS, prices=prices))
    verdict = next(v for v in found if (v.a, v.b) == (a, b))
    given = {"priced_on": BOUGHT, "causes": (), **more}
    return Backing(a=a, b=b, comparison=COMPARISON, cells=CELLS, verdict=verdict, **given)


def rung(made, at):
    return next(answer for answer in ladder(made).rungs if answer.rung is at)


# The workshop


def test_the_workshop_stands_on_its_tests():
    made = ladder(workshop())
    assert made.stands_on is Rung.TESTS
    assert [answer.shown for answer in made.rungs] == [
        Shown.SHOWN,
        Shown.SHOWN,
        Shown.NOT_SHOWN,
        Shown.NOT_SHOWN,
        Shown.NOT_SHOWN,
    ]


def test_a_title_not_tested_may_fall_far_to_either_side():
    said = rung(workshop(), Rung.UNTESTED).reason
    low, high = said.slots["range"].values
    assert (round(100 * (low - 1)), round(100 * (high - 1))) == (-27, 44)
    assert said.told().startswith("a title not tested may fall anywhere from −26.9 to +44")


def test_a_rung_says_how_many_runs_it_rests_on():
    assert rung(workshop(), Rung.TESTS).reason.told() == "the weights of play over 9 tests, 90 runs"


def test_the_workshop_refuses_at_least_three_sentences_and_says_why():
    refused = refusals_of(workshop())
    assert len({one.standing.kind for one in refused}) >= 3
    assert all(one.standing.reason.told() for one in refused)
    assert [one.rung for one in refused] == sorted((one.rung for one in refused), reverse=True)


def test_what_may_be_published_and_what_is_refused_never_meet():
    made = workshop()
    may, not_ = publishable(made), refusals_of(made)
    assert all(one.standing.allowed for one in may)
    assert not any(one.standing.allowed for one in not_)
    assert not {one.said.told() for one in may} & {one.said.told() for one in not_}


def test_names_and_numbers_are_told_by_whoever_publishes():
    said = publishable(workshop())[0].said
    voice = {As.SETUP: lambda keys: keys[0].title(), As.AUDIENCE: lambda keys: "mostly play"}
    assert said.told(voice) == "For mostly play, Plover and Dunlin are level within 3 % on what was measured."


# One test, these tests


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


def test_a_rung_that_holds_for_some_tests_names_them():
    made = backing([finding("quay", Outcome.LEVEL), finding("weir", Outcome.UNSETTLED)], [])
    answer = rung(made, Rung.SCENE)
    assert (answer.shown, answer.tests) == (Shown.PARTLY, ("quay",))


def test_an_index_may_be_called_though_no_test_is():
    findings = [finding(t, Outcome.UNSETTLED) for t in GAMES]
    made = ladder(backing(findings, [index(Outcome.LEVEL, group="")]))
    assert made.rungs[0].shown is Shown.NOT_SHOWN
    assert made.stands_on is Rung.TESTS


def test_an_unsettled_index_says_so_in_the_sentence_that_would_stand():
    found = standing(Kind.INDEX, backing(indexes=[index(Outcome.UNSETTLED, group="")]))
    assert not found.allowed
    assert found.would_stand is not None
    assert found.would_stand.told() == "Over these 6 tests, plover and dunlin are unsettled."


def test_a_pair_the_study_has_not_is_refused_in_words():
    with pytest.raises(NotFound, match="no finding of dunlin over plover"):
        standing(Kind.INDEX, replace(backing(), a="dunlin", b="plover"))


# Level, no difference


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
    assert (
        found.reason.told() == "the interval +9.1 to +10.9 % reaches beyond 3 %, so that level is not shown"
    )


# First of all


def three(ab, ac, bc):
    """Three setups of which plover is held against dunlin, plover against wren, dunlin against wren."""
    pairs = {("plover", "dunlin"): ab, ("plover", "wren"): ac, ("dunlin", "wren"): bc}
    return backing(
        [finding(t, o, a=a, b=b) for (a, b), o in pairs.items() for t in GAMES],
        [index(o, group="", a=a, b=b) for (a, b), o in pairs.items()],
    )


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


# Causes


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


# Titles not tested, and times to come


@pytest.mark.parametrize(
    ("outcome", "predicted", "count", "key"),
    [
        (Outcome.AHEAD, (1.001, 1.3), 6, "forecast-clear"),
        (Outcome.BEHIND, (0.7, 0.999), 6, "forecast-clear"),
        (Outcome.LEVEL, (0.975, 1.025), 6, "forecast-within"),
        (Outcome.AHEAD, (0.999, 1.3), 6, "forecast-open"),
        (Outcome.LEVEL, (0.97, 1.025), 6, "forecast-open"),
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


# Value, and other evidence


def test_value_needs_prices_with_a_date():
    assert standing(Kind.VALUE, workshop(), says=Outcome.AHEAD).allowed
    assert standing(Kind.VALUE, workshop(priced_on={})).reason.told() == "the prices carry no date"
    bare = standing(Kind.VALUE, workshop(prices={"plover": 99800}, priced_on={"plover": BOUGHT["plover"]}))
    assert bare.reason.told() == "no price on record for dunlin"


def test_value_says_up_to_which_price():
    found = standing(Kind.VALUE, workshop())
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told.startswith("For play, plover is the better value below 1,02")
    assert told.endswith("for plover, at the prices of 2026-11-24.")


@pytest.mark.parametrize("kind", [Kind.NOISE, Kind.HEAT, Kind.POWER])
def test_what_was_not_measured_is_not_said(kind):
    assert standing(kind, backing()).reason.told() == "not measured"


def test_noise_stands_on_its_own_evidence():
    gap = Gap(
        topic=Topic.SOUND, a="plover", b="dunlin", outcome=Outcome.AHEAD, margin=1.0,
        difference=-3.2, low=-4.1, high=-2.3,
    )  # fmt: skip
    made = backing(gaps=(gap,))
    found = standing(Kind.NOISE, made, says=Outcome.AHEAD)
    assert found.allowed
    assert found.would_stand is not None
    assert found.would_stand.told() == "At idle, plover is quieter than dunlin by 3.2 dB (2.3 to 4.1)."
    assert not standing(Kind.NOISE, made, says=Outcome.BEHIND).allowed


def test_evidence_that_was_refused_gives_its_own_reason():
    why = Caveat(key="in-the-room", words="reads too little above the room", setups=("plover",), each=True)
    gap = Gap(topic=Topic.SOUND, a="plover", b="dunlin", why=why)
    found = standing(Kind.NOISE, backing(gaps=(gap,)))
    assert found.reason.told() == "plover: reads too little above the room"


def test_power_over_all_tests_needs_all_of_them():
    draws = [replace(finding(t, Outcome.AHEAD), metric="wall_w", headline=False) for t in GAMES]
    assert standing(Kind.POWER, backing(power=tuple(draws)), says=Outcome.AHEAD).allowed
    draws[0] = replace(draws[0], outcome=Outcome.LEVEL)
    made = backing(power=tuple(draws))
    assert not standing(Kind.POWER, made, says=Outcome.AHEAD).allowed
    assert standing(Kind.POWER, made, tests=("weir",), says=Outcome.AHEAD).allowed


def test_watts_are_told_as_watts_and_not_as_a_better_ratio():
    """1.25 times as good is a fifth less."""
    draws = replace(finding("quay", Outcome.AHEAD, ratio=1.25, low=1.2, high=1.3), metric="wall_w")
    found = standing(Kind.POWER, backing(power=(draws,)))
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told == "In quay, plover draws less at the wall than dunlin, by 20 % (16.7 to 23.1)."


def test_of_an_audience_the_one_in_front_is_named_first():
    found = standing(Kind.AUDIENCE, workshop("wren", "plover"))
    assert found.would_stand is not None
    assert found.would_stand.told().startswith("For play, plover is ahead of wren by 30.")


def test_a_machine_is_quieter_only_where_it_was_read_to_be():
    def read(test, outcome):
        return Gap(
            topic=Topic.SOUND, a="plover", b="dunlin", test=test, outcome=outcome, margin=1.0,
            difference=-3.0 if outcome is Outcome.AHEAD else 3.0, low=-4.0, high=-2.0,
        )  # fmt: skip

    made = backing(gaps=(read("", Outcome.AHEAD), read("quay", Outcome.BEHIND)))
    assert standing(Kind.NOISE, made, tests=("",), says=Outcome.AHEAD).allowed
    assert not standing(Kind.NOISE, made, says=Outcome.AHEAD).allowed


def test_the_quietest_is_quieter_than_every_other():
    def gap(a, b, outcome):
        return Gap(topic=Topic.SOUND, a=a, b=b, outcome=outcome, difference=-3.0, margin=1.0)

    three_ways = three(Outcome.AHEAD, Outcome.AHEAD, Outcome.AHEAD)
    ab, bc = gap("plover", "dunlin", Outcome.AHEAD), gap("dunlin", "wren", Outcome.AHEAD)
    short = replace(three_ways, gaps=(ab, bc))
    whole = replace(three_ways, gaps=(ab, bc, gap("plover", "wren", Outcome.AHEAD)))
    assert not standing(Kind.SUPERLATIVE, short, about="noise", says=Outcome.AHEAD).allowed
    assert standing(Kind.SUPERLATIVE, whole, about="noise", says=Outcome.AHEAD).allowed


def test_heat_names_test_and_part():
    gap = Gap(
        topic=Topic.TEMPERATURE, a="plover", b="dunlin", test="quay", part="graphics", outcome=Outcome.BEHIND,
        difference=6.0, low=4.5, high=7.5, margin=2.0,
    )  # fmt: skip
    found = standing(Kind.HEAT, backing(gaps=(gap,)), about="graphics")
    assert found.would_stand is not None
    told = found.would_stand.told()
    assert told == (
        "In quay, at the same noise, the graphics of dunlin is cooler than of plover by 6 K (4.5 to 7.5)."
    )


# The words


def test_every_kind_has_a_judge_and_a_rung():
    assert set(JUDGES) == set(ASKS) == set(Kind)
    assert set(RUNG_NAMES) == set(Rung)
    assert all(markers for markers in MARKERS.values())


def test_every_answer_can_be_told():
    """No slot of any sentence or reason is left without its number."""
    for pair in (("wren", "plover"), ("wren", "dunlin"), ("plover", "dunlin")):
        made = workshop(*pair)
        for kind in Kind:
            for about in ("", "games", "causeway", "graphics"):
                found = standing(kind, made, about=about)
                assert found.reason.told()
                assert found.would_stand is None or found.would_stand.told()


# From runs to rungs


def swapped_workshop():
    """Two builds that differ in processor and graphics; a full swap in two tests, none in the third."""
    machines = (machine("plover", "p0", "g1"), machine("dunlin", "p1", "g0"),
                machine("x", "p1", "g1"), machine("y", "p0", "g0"))  # fmt: skip
    graphics = {"plover": 0.10, "dunlin": 0.0, "x": 0.10, "y": 0.0}
    cells = [
        cell(key, around(4 + graphics[key]), test=test, place=i)
        for test in ("quay", "weir")
        for i, key in enumerate(graphics)
    ]
    cells += [
        cell(k, around(4 + graphics[k]), test="lock", place=i) for i, k in enumerate(("plover", "dunlin"))
    ]
    study = Study(key="s", title="S", setups=("plover", "dunlin"), tests=("quay", "weir", "lock"))
    found = causes("plover", "dunlin", bench=Bench(machines=machines, cells=tuple(cells)), study=study)
    return Backing(
        a="plover", b="dunlin", comparison=compare_study(cells, study=study), cells=tuple(cells), causes=found
    )


def test_a_swap_in_two_of_three_tests_bears_the_rung_in_part():
    answer = rung(swapped_workshop(), Rung.CAUSE)
    assert answer.shown is Shown.PARTLY
    told = answer.reason.told()
    assert told == "for quay and weir only, where a swap tells graphics apart from all else"


def test_a_swap_bears_a_sentence_about_its_tests_alone():
    made = swapped_workshop()
    causal = [one for one in publishable(made) if one.standing.kind is Kind.CAUSE]
    assert [one.said.told() for one in causal] == ["In quay and weir, graphics puts plover ahead of dunlin."]
    refused = [one for one in refusals_of(made) if one.standing.kind is Kind.CAUSE]
    told = {one.said.told(): one.standing.reason.told() for one in refused}
    assert (
        told["plover is ahead because of its graphics."] == "shown for quay and weir only, and not for lock"
    )
    assert "plover is ahead because of its processor." in told


def test_turning_the_pair_of_a_study_round_bears_the_same_rungs():
    made = swapped_workshop()
    study = Study(key="s", title="S", setups=("dunlin", "plover"), tests=("quay", "weir", "lock"))
    turned = replace(
        made, a="dunlin", b="plover", comparison=compare_study(made.cells, study=study), causes=None
    )
    one, other = ladder(replace(made, causes=None)), ladder(turned)
    assert [answer.shown for answer in one.rungs] == [answer.shown for answer in other.rungs]
