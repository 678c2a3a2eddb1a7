"""Weights laid upon columns of logs, many at once: the same as one at a time, and as the textbook."""

import numpy as np
import pytest
from scipy import stats

from evenhand.stats.boots import boots_of
from evenhand.stats.weighing import Columns, shares, weigh, weigh_each

RNG = np.random.default_rng(7)


def by_boots(a, b):
    (means_a, side_a), (means_b, side_b) = boots_of(a), boots_of(b)
    return Columns(d=means_a - means_b, boots=(side_a, side_b))


def test_many_weightings_are_each_the_one_alone():
    columns = by_boots(RNG.standard_normal((5, 4)), RNG.standard_normal((4, 4)))
    weights = RNG.random((50, 4))
    together = weigh(columns, weights)
    for i, w in enumerate(weights):
        alone = weigh(columns, [w])
        assert (together.d[i], together.se[i], together.df[i]) == (
            pytest.approx(alone.d[0]),
            pytest.approx(alone.se[0]),
            pytest.approx(alone.df[0]),
        )


def test_many_sets_are_each_the_one_alone():
    """A few weightings of each go together, whatever boots they have; many do not."""
    sets = [by_boots(RNG.standard_normal((5 - i % 2, 4)), RNG.standard_normal((4, 4))) for i in range(6)]
    sides = RNG.standard_normal((2, 4, 4))
    sides[0, 1, 2] = np.nan  # a run set aside
    laid = [(columns, shares(RNG.random((2, 4)))) for columns in (*sets, by_boots(*sides))]
    laid.insert(3, (sets[0], shares(RNG.random((9, 4)))))
    together = weigh_each(laid)
    for name in ("d", "se", "df"):
        alone = np.concatenate([getattr(weigh(columns, w), name) for columns, w in laid])
        assert getattr(together, name) == pytest.approx(alone, rel=1e-12)


def test_boots_are_students_t_of_their_weighted_means():
    a, b = RNG.standard_normal((4, 3)), RNG.standard_normal((4, 3))
    w = np.array([5, 2, 3]) / 10
    weighed = weigh(by_boots(a, b), [w])
    peer = stats.ttest_ind(a @ w, b @ w)
    assert weighed.d[0] / weighed.se[0] == pytest.approx(peer.statistic)
    assert weighed.p_values()[0] == pytest.approx(peer.pvalue)


def test_boots_of_unlike_spread_are_welchs():
    a, b = 30 * RNG.standard_normal((6, 3)), RNG.standard_normal((6, 3))
    w = np.array([1, 1, 2]) / 4
    weighed = weigh(by_boots(a, b), [w])
    peer = stats.ttest_ind(a @ w, b @ w, equal_var=False)
    assert weighed.df[0] == pytest.approx(peer.df)


def test_a_column_of_no_weight_is_as_good_as_absent():
    a, b = RNG.standard_normal((4, 3)), RNG.standard_normal((4, 3))
    without = weigh(by_boots(a[:, :2], b[:, :2]), [[2, 1]])
    nothing = weigh(by_boots(a, b), [[2, 1, 0]])
    assert (without.d[0], without.se[0], without.df[0]) == (
        pytest.approx(nothing.d[0]),
        pytest.approx(nothing.se[0]),
        pytest.approx(nothing.df[0]),
    )


def test_kin_err_together_and_strangers_do_not():
    kin = Columns(d=np.zeros(2), se=np.array([0.01, 0.01]), df=np.array([4.0, 8.0]), kin=(0, 0))
    strangers = Columns(d=np.zeros(2), se=np.array([0.01, 0.01]), df=np.array([4.0, 4.0]))
    assert weigh(kin, [[1, 1]]).se[0] == pytest.approx(0.01)
    assert weigh(kin, [[1, 1]]).df[0] == pytest.approx(4.0)
    assert weigh(strangers, [[1, 1]]).se[0] == pytest.approx(0.01 / np.sqrt(2))


def test_two_numbers_of_the_same_runs_keep_their_level_though_their_errors_are_one():
    hits, studies = 0, 4000
    rng = np.random.default_rng(11)
    for _ in range(studies):
        runs = rng.standard_normal((2, 5))
        both = np.stack([runs, runs + 0.1 * rng.standard_normal((2, 5))], axis=-1)  # a number and its twin
        d = both[0].mean(axis=0) - both[1].mean(axis=0)
        se = np.sqrt((both.var(axis=1, ddof=1) / 5).sum(axis=0))
        columns = Columns(d=d, se=se, df=np.array([8.0, 8.0]), kin=(0, 0))
        weighed = weigh(columns, [[1, 1]])
        hits += abs(weighed.d[0]) < weighed.half_widths(0.95)[0]
    assert 0.94 <= hits / studies <= 0.965


def test_columns_beside_boots_add_their_own_error_and_leave_the_boots_alone():
    boots = by_boots(RNG.standard_normal((4, 3)), RNG.standard_normal((4, 3)))
    apart = Columns(d=np.array([0.2, 0.0]), se=np.array([0.5, 0.0]), df=np.array([3.0, 1.0]))
    joined = boots.beside(apart)
    same = weigh(joined, [[1, 2, 1, 0, 0]])
    before = weigh(boots, [[1, 2, 1]])
    assert (same.d[0], same.se[0], same.df[0]) == (
        pytest.approx(before.d[0]),
        pytest.approx(before.se[0]),
        pytest.approx(before.df[0]),
    )
    both = weigh(joined, [[1, 1, 1, 3, 0]])
    half = weigh(boots, [[1, 1, 1]])
    assert both.d[0] == pytest.approx((half.d[0] + 0.2) / 2)
    assert both.se[0] ** 2 == pytest.approx((half.se[0] ** 2 + 0.5**2) / 4)
    assert both.df[0] == pytest.approx(
        both.se[0] ** 4 / ((half.se[0] / 2) ** 4 / half.df[0] + (0.5 / 2) ** 4 / 3.0)
    )


def test_what_is_known_exactly_shifts_the_mean_and_adds_no_error():
    alone = Columns(d=np.array([0.1]), se=np.array([0.02]), df=np.array([4.0]))
    price = Columns(d=np.array([-0.3]), se=np.zeros(1), df=np.ones(1))
    weighed = weigh(alone.beside(price), [[1, 1]])
    assert (weighed.d[0], weighed.se[0], weighed.df[0]) == (pytest.approx(-0.1), pytest.approx(0.01), 4.0)


@pytest.mark.parametrize("bad", [[], [[1, -1]], [[0, 0]], [[1, float("nan")]], [[1, 1], [0, 0]]])
def test_weights_that_are_none_are_refused(bad):
    with pytest.raises(ValueError, match="weights must be"):
        shares(bad)
