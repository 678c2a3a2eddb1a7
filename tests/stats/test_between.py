"""Differences of two samples: known answers, and the choice of the spread behind them."""

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

from evenhand.stats.between import (
    Rule,
    blocks_show,
    differences,
    sample,
    study_is_uneven,
    two_sided_p,
    welch,
)

RNG = np.random.default_rng(5)
runs = st.lists(st.floats(-1, 1), min_size=2, max_size=6)


def draw(n, sd=0.01, mean=0.0):
    return mean + sd * RNG.standard_normal(n)


@given(runs, runs)
def test_welch_agrees_with_statsmodels(a, b):
    assume(np.std(a) > 1e-3 and np.std(b) > 1e-3)
    se, df = welch(sample(a, b))
    peer = CompareMeans(DescrStatsW(a), DescrStatsW(b))
    assert se == pytest.approx(peer.std_meandiff_separatevar)
    assert df == pytest.approx(peer.dof_satt())


def test_one_test_alone_is_students_t_of_the_two_samples():
    a, b = draw(4, mean=0.02), draw(3)
    found = differences([sample(a, b)])[0]
    peer = stats.ttest_ind(a, b)
    interval = peer.confidence_interval(0.95)
    assert found.rule is Rule.OWN
    assert found.p_value() == pytest.approx(peer.pvalue)
    assert found.d + found.half_width(0.95) == pytest.approx(interval.high)


def test_paired_samples_alone_are_students_paired_t():
    a, b = draw(5, mean=0.02), draw(5)
    found = differences([sample(a, b, paired=True)])[0]
    assert found.p_value() == pytest.approx(stats.ttest_rel(a, b).pvalue)


def test_p_against_an_allowance_meets_five_percent_where_the_interval_touches_it():
    found = differences([sample(draw(3, mean=0.05), draw(3))])[0]
    near_edge = abs(found.d) - found.half_width(0.95)
    assert found.p_value(allowance=near_edge) == pytest.approx(0.05)
    assert two_sided_p(0.01, 0.01, 4, allowance=0.02) == 1.0


def test_tests_of_one_study_lend_each_other_degrees_of_freedom():
    found = differences([sample(draw(3), draw(3)) for _ in range(8)])
    lent = [f for f in found if f.rule is Rule.MODERATED]
    assert lent
    assert all(f.df == 4 + f.prior_df and f.plain_df == 4 for f in lent)


def test_a_test_much_noisier_than_its_study_keeps_its_own_spread():
    calm = [sample([0, 0.01, 0.02], [0.01, 0.0, 0.02]) for _ in range(8)]
    noisy = sample([0.0, 0.2, 0.4], [0.1, 0.3, 0.5])
    assert differences([*calm, noisy])[-1].rule is Rule.OWN


def test_a_side_much_noisier_than_the_other_is_judged_by_welch():
    uneven = sample([0.0, 0.3, -0.2, 0.1, 0.5], [0.0, 0.001, 0.002, 0.001, 0.0])
    found = differences([*(sample(draw(5), draw(5)) for _ in range(5)), uneven])[-1]
    assert found.rule is Rule.WELCH
    assert (found.se, found.df) == welch(uneven)


def test_a_side_noisier_in_every_test_is_seen_though_no_single_test_shows_it():
    study = [sample(draw(3, sd=0.04), draw(3, sd=0.01)) for _ in range(12)]
    assert study_is_uneven(study)
    assert all(f.rule is Rule.WELCH for f in differences(study))


def test_even_studies_are_rarely_called_uneven():
    rng = np.random.default_rng(2)
    studies = [[sample(rng.standard_normal(3), rng.standard_normal(4)) for _ in range(6)] for _ in range(500)]
    assert sum(map(study_is_uneven, studies)) <= 4


def test_a_single_run_borrows_a_wide_interval_or_has_none():
    others = [sample(draw(4), draw(4)) for _ in range(6)]
    single = sample([0.05], [0.0])
    found = differences([*others, single])[-1]
    assert found.rule is Rule.BORROWED
    assert found.half_width(0.95) > 1.3 * max(
        f.half_width(0.95) for f in differences(others) if f.rule is Rule.MODERATED
    )
    assert differences([single])[0].half_width(0.95) is None


def test_runs_all_alike_claim_no_certainty():
    found = differences([sample([0.1, 0.1, 0.1], [0.0, 0.0, 0.0])])[0]
    assert found.rule is Rule.NONE
    assert found.p_value() is None


def test_alike_runs_borrow_where_others_scatter():
    alike = sample([0.1, 0.1, 0.1], [0.0, 0.0, 0.0])
    assert differences([alike, *(sample(draw(3), draw(3)) for _ in range(5))])[0].se > 0


@example(study=[([0.0, 0.0], [0.0, 2.2771423346952765e-108])])
@given(st.lists(st.tuples(runs, runs), min_size=1, max_size=6))
def test_swapping_the_sides_turns_the_sign_and_nothing_else(study):
    there = differences([sample(a, b) for a, b in study])
    back = differences([sample(b, a) for a, b in study])
    for x, y in zip(there, back, strict=True):
        assert (x.d, x.rule) == (-y.d, y.rule)
        assert x.se == (pytest.approx(y.se, rel=1e-6) if y.se is not None else None)


@pytest.mark.parametrize(("shared", "least", "most"), [(0.0, 0.0, 0.03), (1.5, 0.8, 1.0)])
def test_blocks_show_where_they_share_an_error(shared, least, most):
    rng = np.random.default_rng(9)
    shown = 0
    for _ in range(400):
        block = shared * rng.standard_normal(5)
        shown += blocks_show(
            [(block + rng.standard_normal(5), block + rng.standard_normal(5)) for _ in range(8)]
        )
    assert least <= shown / 400 <= most


def test_the_least_spread_a_number_can_hold_has_degrees_of_freedom_too():
    assert differences([sample([0.0, 0.0], [0.0, 2.3e-108])])[0].df == pytest.approx(1.0)
