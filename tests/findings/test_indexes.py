"""The index over tests, from the cells of an invented study."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from evenhand.errors import BadRecord
from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Observation, Outcome
from evenhand.records.studies import Study

RATES = {
    "causeway": (88, 79.5, "games"),
    "tramlines": (61, 71.5, "games"),
    "regatta": (165, 148, "games"),
    "parish": (96, 89, "games"),
    "choir": (104, 103.6, "games"),
    "export": (13.1, 12.4, "work"),
    "render": (4.05, 4.60, "work"),
    "photo": (16.0, 17.2, "work"),
    "load": (7.40, 7.35, "work"),
}
STUDY = Study(key="s", title="S", setups=("plover", "dunlin"), tests=tuple(RATES))


def cell(test, setup, rate, *, sd=0.012, seed=0, n=5, placed=True):
    """n runs whose geometric mean is exactly the rate, a boot each, in turns."""
    z = np.random.default_rng([seed, len(test), setup == "plover"]).standard_normal(n)
    z -= z.mean()
    seen = tuple(
        Observation(
            run=f"{test}-{setup}-{k}",
            value=rate * math.exp(sd * z[k]),
            boot=f"{setup}{k}" if placed else None,
            order=2 * k + ((setup == "dunlin") + k) % 2 if placed else None,
        )
        for k in range(n)
    )
    return Cell(
        test=test, setup=setup, metric="rate", better="higher", observations=seen, group=RATES[test][2]
    )


def cells(**more):
    return [
        cell(t, s, rate, seed=i, **more)
        for i, (t, (plover, dunlin, _)) in enumerate(RATES.items())
        for s, rate in (("plover", plover), ("dunlin", dunlin))
    ]


def index(group, these=None, study=STUDY):
    return next(i for i in compare_study(these or cells(), study=study).indexes if i.group == group)


def percent(ratio):
    return round(100 * (ratio - 1), 1)


def test_all_tests_come_first_then_each_group():
    found = compare_study(cells(), study=STUDY).indexes
    assert [i.group for i in found] == ["", "games", "work"]
    assert [len(i.tests) for i in found] == [9, 5, 4]


def test_the_games_index_and_the_single_titles_it_leans_on():
    games = index("games")
    left_out = {x.test: x for x in games.left_out}
    assert percent(games.ratio) == 2.7
    assert {t: percent(left_out[t].ratio) for t in ("tramlines", "regatta", "causeway")} == {
        "tramlines": 7.5,
        "regatta": 0.6,
        "causeway": 0.7,
    }
    assert games.outcome is Outcome.AHEAD
    assert (left_out["regatta"].outcome, left_out["regatta"].flips) == (Outcome.LEVEL, True)
    assert not left_out["tramlines"].flips


@pytest.mark.parametrize("gaps", [(), (0,), (0, 7, 8)])
@pytest.mark.parametrize("n", [3, 5])
def test_an_index_without_a_test_is_the_index_of_a_study_without_it(n, gaps):
    these = [
        replace(each, observations=each.observations[1:]) if i in gaps else each
        for i, each in enumerate(cells(n=n))
    ]
    for left in index("", these).left_out:
        rest = tuple(test for test in STUDY.tests if test != left.test)
        alone = index("", these, replace(STUDY, tests=rest))
        assert (left.ratio, left.low, left.high) == pytest.approx(
            (alone.ratio, alone.low, alone.high), rel=1e-12
        )
        assert left.outcome is alone.outcome


def test_a_game_not_run_is_predicted_from_the_spread_over_games():
    games = index("games")
    logs = np.log([a / b for a, b, g in RATES.values() if g == "games"])
    half = stats.t.ppf(0.975, 4) * logs.std(ddof=1) * math.sqrt(1 + 1 / 5)
    assert (percent(games.predicted_low), percent(games.predicted_high)) == (
        percent(math.exp(logs.mean() - half)),
        percent(math.exp(logs.mean() + half)),
    )
    assert games.predicted_low < games.sample_low < games.low < games.ratio


def test_tests_that_agree_by_chance_predict_no_better_than_they_are_known():
    alike = dict(zip(RATES, range(3), strict=False))
    these = [cell(t, s, 100.0, sd=0.03, seed=c) for t, c in alike.items() for s in STUDY.setups]
    found = index("", these)
    assert (found.predicted_low, found.sample_high) == (found.low, found.high)


def test_weights_weigh_tests_and_zero_leaves_one_out():
    weighed = replace(STUDY, weights={"tramlines": 0.0, "choir": 3.0})
    games = index("games", study=weighed)
    logs = {t: math.log(a / b) for t, (a, b, g) in RATES.items() if g == "games" and t != "tramlines"}
    expected = (sum(logs.values()) + 2 * logs["choir"]) / 6
    assert games.ratio == pytest.approx(math.exp(expected))
    assert "tramlines" not in (*games.tests, *games.missing)


def test_a_negative_weight_is_refused():
    with pytest.raises(BadRecord, match="photo = -1"):
        compare_study(cells(), study=replace(STUDY, weights={"photo": -1.0}))


def test_with_shared_boots_it_is_students_t_over_one_index_a_boot():
    games = index("games", cells(sd=0.02))
    by_boot = {
        s: np.mean(
            [
                [math.log(o.value) for o in c.observations]
                for c in cells(sd=0.02)
                if c.setup == s and c.group == "games"
            ],
            axis=0,
        )
        for s in STUDY.setups
    }
    peer = stats.ttest_ind(by_boot["plover"], by_boot["dunlin"]).confidence_interval(0.95)
    assert games.method == "one index per boot, t over boots"
    assert (games.low, games.high) == (pytest.approx(math.exp(peer.low)), pytest.approx(math.exp(peer.high)))


def test_without_boots_it_sums_over_tests_and_allows_for_a_shared_error():
    games = index("games", cells(placed=False))
    assert games.method == "sum over tests, Satterthwaite"
    assert games.outcome is Outcome.UNSETTLED
    assert "2.01 % of the index is allowed for it" in games.caveats[0].told()


def test_a_test_without_runs_is_named_as_missing():
    some = [replace(c, observations=()) if (c.test, c.setup) == ("choir", "dunlin") else c for c in cells()]
    games = index("games", some)
    assert games.missing == ("choir",)
    assert len(games.tests) == 4


def test_a_held_rate_is_neither_in_the_index_nor_missing():
    some = [replace(c, locked=True) if c.test == "choir" else c for c in cells()]
    games = index("games", some)
    assert "choir" not in (*games.tests, *games.missing)
    assert "choir" in games.caveats[0].told()


def test_an_index_with_a_single_run_in_it_stays_unsettled():
    some = [
        replace(c, observations=c.observations[:1]) if (c.test, c.setup) == ("regatta", "plover") else c
        for c in cells()
    ]
    games = index("games", some)
    assert games.outcome is Outcome.UNSETTLED
    assert games.low is not None
    assert "one-run" in [c.key for c in games.caveats]


def test_metrics_besides_the_headline_stay_out():
    also = [replace(c, metric="low", headline=False) for c in cells()]
    assert index("", [*cells(), *also]) == index("")


def test_one_usable_test_speaks_for_itself_and_has_no_index():
    only = [c for c in cells() if c.test == "choir"]
    assert compare_study(only, study=STUDY).indexes == ()
    missing = [c if c.test == "choir" else replace(c, observations=()) for c in cells()]
    assert compare_study(missing, study=STUDY).indexes == ()


def lead(ratio, *, placed=True, sd=0.012):
    """The index of the games, each at this very ratio."""
    games = [t for t in RATES if RATES[t][2] == "games"]
    these = [
        cell(t, setup, rate, seed=i, placed=placed, sd=sd)
        for i, t in enumerate(games)
        for setup, rate in (("plover", 100 * ratio), ("dunlin", 100))
    ]
    return index("games", these)


def test_a_lead_that_p_withholds_says_so():
    half = math.log(lead(1.0, sd=0.04).high)
    found = lead(math.exp(1.02 * half), sd=0.04)
    assert found.low > 1
    assert found.outcome is Outcome.UNSETTLED
    assert [c.key for c in found.caveats] == ["p-withheld"]
    assert "does not reach 0.03" in found.caveats[0].told()
    assert lead(math.exp(1.5 * half), sd=0.04).caveats == ()


def test_a_lead_within_the_allowance_says_so():
    half = math.log(lead(1.0, placed=False).high)
    within, beyond = (lead(math.exp(half + d), placed=False) for d in (0.01, 0.04))
    assert [c.key for c in within.caveats] == ["allowance", "ahead-withheld"]
    assert (beyond.outcome, [c.key for c in beyond.caveats]) == (Outcome.AHEAD, ["allowance"])


@pytest.mark.parametrize(("ratio", "small"), [(1.032, True), (1.2, False), (1 / 1.032, True), (0.8, False)])
def test_an_index_that_reaches_below_the_margin_says_so(ratio, small):
    found = lead(ratio)
    assert found.outcome in (Outcome.AHEAD, Outcome.BEHIND)
    assert found.perhaps_small is small


def test_nothing_usable_makes_no_index():
    assert compare_study([replace(c, observations=()) for c in cells()], study=STUDY).indexes == ()
