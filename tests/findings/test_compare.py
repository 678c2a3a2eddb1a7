"""A study's cells into findings."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from evenhand.errors import NotComparable
from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Observation, Outcome
from evenhand.records.studies import Study

OPPOSITE = {Outcome.AHEAD: Outcome.BEHIND, Outcome.BEHIND: Outcome.AHEAD}


def study(tests, setups=("a", "b"), **more):
    return Study(key="s", title="S", setups=setups, tests=tuple(tests), **more)


def cell(test, setup, values, *, turn=0, placed=True, **more):
    """Runs in turns, a boot each: ABBA where b's turn is 1."""
    seen = tuple(
        Observation(
            run=f"{test}-{setup}-{k}",
            value=float(v),
            boot=f"{setup}{k}" if placed else None,
            order=2 * k + (turn if k % 2 == 0 else 1 - turn) if placed else None,
        )
        for k, v in enumerate(values)
    )
    return Cell(
        **{"test": test, "setup": setup, "metric": "fps", "better": "higher", "observations": seen} | more
    )


def pair(test, a, b, **more):
    return [cell(test, "a", a, **more), cell(test, "b", b, turn=1, **more)]


def drawn(rng, test, ratio=1.0, n=5, sd=0.01, **more):
    a, b = ratio * 100 * np.exp(sd * rng.standard_normal((n,))), 100 * np.exp(sd * rng.standard_normal(n))
    return pair(test, a, b, **more)


def cells_of(rng, ratios, **more):
    return [c for t, r in ratios.items() for c in drawn(rng, t, r, **more)]


RATIOS = {"t1": 1.10, "t2": 0.90, "t3": 1.0, "t4": 1.06, "t5": 1.0}


def compared(cells, tests=tuple(RATIOS), **more):
    return compare_study(cells, study=study(tests, **more))


def caveats(finding):
    return [c.key for c in finding.caveats]


def test_clear_differences_and_level_pairs_are_called():
    outcomes = [f.outcome for f in compared(cells_of(np.random.default_rng(1), RATIOS)).findings]
    assert outcomes == [Outcome.AHEAD, Outcome.BEHIND, Outcome.LEVEL, Outcome.AHEAD, Outcome.LEVEL]


def test_one_test_alone_shows_students_interval_of_the_log_ratio():
    a, b = [101.0, 103, 104], [100.0, 99, 101]
    found = compared(pair("t", a, b), tests=("t",)).findings[0]
    peer = stats.ttest_ind(np.log(a), np.log(b)).confidence_interval(0.95)
    assert (found.low, found.high) == (pytest.approx(math.exp(peer.low)), pytest.approx(math.exp(peer.high)))
    assert found.ratio == pytest.approx(stats.gmean(a) / stats.gmean(b))
    assert found.p == found.p_holm


def test_all_pairs_are_compared_the_first_setup_over_the_later():
    cells = [cell("t", s, [100, 101, 102]) for s in ("c", "a", "b")]
    found = compared(cells, tests=("t",), setups=("a", "b", "c")).findings
    assert [(f.a, f.b) for f in found] == [("a", "b"), ("a", "c"), ("b", "c")]


def test_the_family_is_every_test_pair_and_metric_of_the_study():
    rng = np.random.default_rng(2)
    cells = [c for t in ("t1", "t2") for c in drawn(rng, t, 1.02)]
    also = [replace(c, metric="low", headline=False) for c in cells]
    alone, both = compared(cells, tests=("t1", "t2")), compared([*cells, *also], tests=("t1", "t2"))
    smallest = min(f.p for f in both.findings)
    assert min(f.p_holm for f in alone.findings) == pytest.approx(2 * smallest)
    assert min(f.p_holm for f in both.findings) == pytest.approx(4 * smallest)
    assert [f.headline for f in both.findings] == [True, False, True, False]


def test_a_level_pair_may_differ_measurably():
    rng = np.random.default_rng(3)
    found = compared(drawn(rng, "t", 1.012, n=8, sd=0.003), tests=("t",)).findings[0]
    assert (found.outcome, found.measurably) == (Outcome.LEVEL, True)
    assert found.low > 1


@pytest.mark.parametrize(
    ("ratio", "margin", "small"),
    [
        (1.09, 0.09, True),  # half of the interval lies inside the band
        (1.09, 0.03, False),  # all of it beyond
        (1.09, 0.085, True),  # its lower end inside
        (1 / 1.09, 0.09, True),
        (1 / 1.09, 0.03, False),
        (1.0, 0.09, False),  # level is no lead
    ],
)
def test_a_lead_that_reaches_below_the_margin_is_marked(ratio, margin, small):
    found = compared(drawn(np.random.default_rng(21), "t", ratio), tests=("t",), margin=margin).findings[0]
    assert (found.outcome is Outcome.LEVEL) == (ratio == 1.0)
    assert found.perhaps_small is small


def test_lower_is_better_turns_the_ratio_and_nothing_else():
    cells = cells_of(np.random.default_rng(4), RATIOS)
    times = [
        replace(
            c, better="lower", observations=tuple(replace(o, value=1000 / o.value) for o in c.observations)
        )
        for c in cells
    ]
    for rate, time in zip(compared(cells).findings, compared(times).findings, strict=True):
        assert time.ratio == pytest.approx(rate.ratio)
        assert (time.low, time.high) == (pytest.approx(rate.low), pytest.approx(rate.high))
        assert time.outcome is rate.outcome


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32), st.integers(2, 6), st.sampled_from([0.003, 0.01, 0.03]))
def test_swapping_the_setups_inverts_everything(seed, n, sd):
    cells = cells_of(np.random.default_rng(seed), RATIOS, n=n, sd=sd)
    there, back = compared(cells), compared(cells, setups=("b", "a"))
    for x, y in zip(there.findings, back.findings, strict=True):
        assert y.outcome is OPPOSITE.get(x.outcome, x.outcome)
        assert (1 / y.ratio, 1 / y.low, 1 / y.high) == pytest.approx((x.ratio, x.high, x.low))
        assert (y.settle, y.measurably) == (x.settle, x.measurably)
        assert y.p_holm == pytest.approx(x.p_holm)
    for x, y in zip(there.indexes, back.indexes, strict=True):
        assert y.outcome is OPPOSITE.get(x.outcome, x.outcome)
        assert (1 / y.predicted_low, 1 / y.high) == pytest.approx((x.predicted_high, x.low))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32), st.floats(1e-6, 1e6))
def test_another_unit_changes_nothing(seed, unit):
    cells = cells_of(np.random.default_rng(seed), RATIOS, n=3)
    scaled = [
        replace(c, observations=tuple(replace(o, value=unit * o.value) for o in c.observations))
        for c in cells
    ]
    for x, y in zip(compared(cells).findings, compared(scaled).findings, strict=True):
        assert (y.outcome, y.settle) == (x.outcome, x.settle)
        assert (y.ratio, y.low, y.high, y.p_holm) == pytest.approx(
            (x.ratio, x.low, x.high, x.p_holm), rel=1e-6
        )


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32), st.permutations(list(RATIOS)))
def test_the_order_of_tests_and_cells_changes_nothing(seed, order):
    cells = cells_of(np.random.default_rng(seed), RATIOS, n=4)
    there = {f.test: f for f in compared(cells).findings}
    turned = compared(list(reversed(cells)), tests=order)
    assert [f.test for f in turned.findings] == order
    for f in turned.findings:
        assert f.outcome is there[f.test].outcome
        assert (f.low, f.high, f.p_holm) == pytest.approx(
            (there[f.test].low, there[f.test].high, there[f.test].p_holm)
        )


def test_a_third_setup_changes_only_the_family():
    rng = np.random.default_rng(6)
    cells = cells_of(rng, RATIOS)
    third = [cell(t, "c", 90 + rng.standard_normal(5)) for t in RATIOS]
    two = compared(cells).findings
    three = [
        f for f in compared([*cells, *third], setups=("a", "b", "c")).findings if (f.a, f.b) == ("a", "b")
    ]
    for x, y in zip(two, three, strict=True):
        assert (y.low, y.high, y.p) == (x.low, x.high, x.p)


def test_runs_without_boot_or_order_withhold_what_a_shared_error_could_make():
    placed, unplaced = (
        cells_of(np.random.default_rng(7), {"t": 1.03}, sd=0.009, placed=p) for p in (True, False)
    )
    ahead, withheld = (compared(c, tests=("t",)).findings[0] for c in (placed, unplaced))
    assert ahead.outcome is Outcome.AHEAD
    assert withheld.outcome is Outcome.UNSETTLED
    assert caveats(withheld) == [
        "boots-unknown",
        "boots-unknown",
        "order-unknown",
        "allowance",
        "ahead-withheld",
    ]
    assert (withheld.low, withheld.high) == (ahead.low, ahead.high)


def test_a_difference_far_beyond_the_allowance_is_called_all_the_same():
    unplaced = cells_of(np.random.default_rng(7), {"t": 1.2}, sd=0.002, placed=False)
    found = compared(unplaced, tests=("t",)).findings[0]
    assert found.outcome is Outcome.AHEAD
    assert "ahead-withheld" not in caveats(found)


def test_level_must_hold_with_the_allowance_on_top():
    unplaced = [cells_of(np.random.default_rng(8), {"t": r}, sd=0.002, placed=False) for r in (1.0, 1.012)]
    outcomes = [compared(c, tests=("t",)).findings[0].outcome for c in unplaced]
    assert outcomes == [Outcome.LEVEL, Outcome.UNSETTLED]


def test_a_larger_stated_allowance_withholds_more():
    unplaced = cells_of(np.random.default_rng(7), {"t": 1.05}, sd=0.002, placed=False)
    outcomes = [compared(unplaced, tests=("t",), boot_allowance=x).findings[0].outcome for x in (0.01, 0.03)]
    assert outcomes == [Outcome.AHEAD, Outcome.UNSETTLED]


def test_one_run_is_never_settled_but_may_borrow_a_wide_interval():
    cells = [*cells_of(np.random.default_rng(9), RATIOS), *pair("single", [120.0], [100.0])]
    found = compared(cells, tests=(*RATIOS, "single")).findings[-1]
    widths = [math.log(f.high / f.low) for f in compared(cells, tests=tuple(RATIOS)).findings]
    assert found.outcome is Outcome.UNSETTLED
    assert found.method == "one run: spread of the other tests"
    assert math.log(found.high / found.low) > 1.5 * max(widths)
    assert found.p is None
    assert "one-run" in caveats(found)


def test_one_run_and_nothing_to_borrow_has_no_interval():
    found = compared(pair("t", [120.0], [100.0]), tests=("t",)).findings[0]
    assert (found.ratio, found.low, found.high) == (pytest.approx(1.2), None, None)
    assert (found.outcome, found.method, found.settle) == (Outcome.UNSETTLED, "none: one run", None)


def test_runs_that_are_cut_otherwise_are_told_with_their_reasons():
    a, b = pair("t", [100, 101, 99], [100, 102, 101])
    cut = replace(b, cut_otherwise=("the log ran on.", "{setups[1]} hung", "the log ran on."))
    told = [
        c.told() for c in compared([a, cut], tests=("t",)).findings[0].caveats if c.key == "cut-otherwise"
    ]
    assert told == [
        "b: 2 runs are cut otherwise than their siblings, because the log ran on",
        "b: one run is cut otherwise than its siblings, because {setups[1]} hung",
    ]


def test_no_runs_say_how_many_wait():
    a, b = pair("t", [100, 101], [])
    found = compared([a, replace(b, waiting=2, set_aside=1)], tests=("t",)).findings[0]
    assert (found.outcome, found.ratio, found.n_b) == (Outcome.UNSETTLED, None, 0)
    assert found.caveats[0].told() == "b: no run counts; 2 wait for a decision, 1 set aside"


@pytest.mark.parametrize(
    ("waiting", "set_aside", "words"),
    [
        (1, 0, "b: no run counts; one waits for a decision"),
        (4, 0, "b: no run counts; 4 wait for a decision"),
        (0, 2, "b: no run counts; 2 set aside"),
        (0, 0, "b: no run counts"),
    ],
)
def test_only_what_there_is_is_counted(waiting, set_aside, words):
    a, b = pair("t", [100, 101], [])
    found = compared([a, replace(b, waiting=waiting, set_aside=set_aside)], tests=("t",)).findings[0]
    assert (found.caveats[0].told(), found.caveats[0].waiting) == (words, waiting)


def test_one_more_that_waits_is_told_in_the_singular():
    a, b = pair("t", [100, 101], [99, 98])
    found = compared([a, replace(b, waiting=1)], tests=("t",)).findings[0]
    assert found.caveats[0].told() == "b: one more waits for a decision"


NOTHING_BESIDE = {f"u{i}": 1.0 for i in range(9)}


@pytest.mark.parametrize(
    ("ratio", "beside", "allowance", "withheld"),
    [
        (1.000, {}, 0.01, None),  # the interval holds no difference
        (1.030, {}, 0.01, "ahead-withheld"),  # clear of none, not of the allowance
        (1.200, {}, 0.01, None),  # clear of the allowance by far: called
        (1.0182, {}, 0.00, "family-withheld"),  # clear of none at 95 %, but p is above the level
        (1.0207, NOTHING_BESIDE, 0.00, "family-withheld"),  # clear by itself, not among ten
        (1.0412, NOTHING_BESIDE, 0.01, "family-withheld"),  # clear of the allowance too, not among ten
        (1.100, NOTHING_BESIDE, 0.01, None),  # clear among ten: called
    ],
)
def test_what_withholds_a_lead_is_told_for_what_it_is(ratio, beside, allowance, withheld):
    """Runs of one spread, boots and order not on record: the standard error is the same throughout."""
    steps = np.exp(0.012 * np.array([-1.0, 0.0, 1.0, 0.0]))
    ratios = {"t": ratio} | beside
    cells = [c for t, r in ratios.items() for c in pair(t, r * 100 * steps, 100 * steps, placed=False)]
    found = compared(cells, tests=tuple(ratios), boot_allowance=allowance).findings[0]
    told = [key for key in caveats(found) if key.endswith("-withheld")]
    assert told == ([withheld] if withheld else [])
    called = found.outcome is Outcome.AHEAD
    assert called == (withheld is None and ratio > 1)


def test_a_lead_withheld_by_the_count_says_of_how_many():
    steps = np.exp(0.012 * np.array([-1.0, 0.0, 1.0, 0.0]))
    ratios = {"t": 1.0207} | NOTHING_BESIDE
    cells = [c for t, r in ratios.items() for c in pair(t, r * 100 * steps, 100 * steps, placed=False)]
    found = compared(cells, tests=tuple(ratios), boot_allowance=0.0).findings[0]
    assert found.low > 1
    assert found.p < 0.03 <= found.p_holm
    assert found.caveats[-1].told() == (
        "clear of no difference by itself, but not once all 10 comparisons of the study are counted: "
        f"p is {found.p_holm:.2g} then, against 0.03"
    )


def test_a_setup_without_a_cell_is_a_setup_without_runs():
    found = compared([cell("t", "a", [100, 101])], tests=("t",)).findings[0]
    assert (found.outcome, found.n_a, found.n_b) == (Outcome.UNSETTLED, 2, 0)


def test_a_held_rate_says_nothing_of_speed_and_lends_no_calm():
    rng = np.random.default_rng(10)
    held = pair("held", [60.0, 60.001, 60.0], [59.999, 60.0, 60.0], locked=True)
    cells = cells_of(rng, RATIOS)
    found = compared([*cells, *held], tests=(*RATIOS, "held"))
    last = found.findings[-1]
    assert (last.outcome, last.low, last.p) == (Outcome.UNSETTLED, None, None)
    assert last.caveats[0].told() == "held at a declared rate: says nothing of speed"
    assert found.findings[:-1] == compared(cells).findings
    assert "held" not in found.indexes[0].tests


def test_runs_alike_to_the_last_digit_claim_nothing():
    found = compared(pair("t", [100, 100, 100], [90, 90, 90]), tests=("t",)).findings[0]
    assert (found.outcome, found.low, found.method) == (Outcome.UNSETTLED, None, "none: runs all alike")
    assert "runs-alike" in caveats(found)


def test_zeros_have_no_ratio():
    found = compared(pair("t", [0.0, 1, 2], [1.0, 2, 3]), tests=("t",)).findings[0]
    assert (found.outcome, found.ratio, caveats(found)) == (Outcome.UNSETTLED, None, ["no-ratio"])


def test_numbers_beyond_all_measure_have_no_ratio_and_say_so():
    for slip in ([1e308, 1e307], [1e14, 1e14]):
        found = compared(pair("t", [1e-9, 2e-9], slip), tests=("t",)).findings[0]
        assert (found.outcome, found.ratio, caveats(found)) == (Outcome.UNSETTLED, None, ["no-ratio"])
        assert "one run reads more than a million million times another" in found.caveats[0].told()


def test_an_interval_that_no_float_holds_still_has_ends():
    much, little = [9e5, 9e5, 9.1e5], [1e-6, 1.01e-6, 1e-6]
    cells = pair("t", much, little) + pair("u", little, much)
    found = compared(cells, tests=("t", "u"), weights={"u": 0.001}).indexes[0]
    assert 0 < found.predicted_low < found.ratio < found.predicted_high < math.inf


def test_a_much_noisier_setup_is_named_and_judged_by_welch():
    rng = np.random.default_rng(11)
    a = 100 * np.exp(0.05 * rng.standard_normal(6))
    b = 100 * np.exp(0.001 * rng.standard_normal(6))
    found = compared([*cells_of(rng, RATIOS), *pair("odd", a, b)], tests=(*RATIOS, "odd")).findings[-1]
    peer = stats.ttest_ind(np.log(a), np.log(b), equal_var=False)
    assert found.method == "Welch's t over boots"
    assert found.p == pytest.approx(peer.pvalue)
    assert "a scatters by" in next(c.told() for c in found.caveats if c.key == "unequal-spread")


def test_blocks_that_share_an_error_are_paired():
    rng = np.random.default_rng(12)
    drift = 0.05 * rng.standard_normal(5)
    cells = [
        c
        for t in RATIOS
        for c in pair(t, *(100 * np.exp(drift + 0.003 * rng.standard_normal(5)) for _ in range(2)))
    ]
    found = compared(cells).findings
    assert all(f.method.endswith("paired blocks") for f in found)
    assert all(f.outcome is Outcome.LEVEL for f in found)


def test_an_unsettled_finding_says_what_would_settle_it():
    cells = cells_of(np.random.default_rng(14), {"t": 1.018}, n=3)
    found = compare_study(cells, study=study(("t",)), minutes={"t": 4.0}).findings[0]
    assert found.outcome is Outcome.UNSETTLED
    assert 1 <= found.settle.more_runs <= 9
    assert found.settle.minutes == 2 * 4.0 * found.settle.more_runs


def test_the_spread_of_a_run_is_told_by_metric():
    found = compared(
        cells_of(np.random.default_rng(15), {f"t{i}": 1.0 for i in range(12)}),
        tests=[f"t{i}" for i in range(12)],
    )
    assert found.spread["fps"] == pytest.approx(0.01, rel=0.25)


@pytest.mark.parametrize(
    "change",
    [{"version": "2"}, {"better": "lower"}, {"metric": "low"}, {"locked": True}, {"headline": False}],
)
def test_cells_that_are_not_measured_alike_are_refused(change):
    a, b = pair("t", [100, 101], [100, 102])
    with pytest.raises(NotComparable, match=r"for a.*for b|two"):
        compared([a, replace(b, **change)], tests=("t",))


def test_a_cell_given_twice_is_refused():
    a, b = pair("t", [100, 101], [100, 102])
    with pytest.raises(NotComparable, match="two cells"):
        compared([a, b, a], tests=("t",))


def test_an_empty_study_says_nothing():
    found = compared([], tests=())
    assert (found.findings, found.indexes) == ((), ())


def test_intervals_keep_their_level_and_few_studies_hold_a_false_ahead():
    rng = np.random.default_rng(16)
    hits = false = 0
    for _ in range(300):
        found = compared(cells_of(rng, dict.fromkeys(RATIOS, 1.0), n=3)).findings
        hits += sum(f.low <= 1 <= f.high for f in found)
        false += any(f.outcome in OPPOSITE for f in found)
    assert 0.93 <= hits / 1500 <= 0.97
    assert false / 300 <= 0.06
