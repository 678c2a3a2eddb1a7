"""Most F tests are spared by bounds, which must never say another thing than the test itself."""

import numpy as np
import pytest

from evenhand.stats.special_functions import special
from evenhand.stats.spread import Floats
from evenhand.stats.uneven import FEW, UNEQUAL_BOOTS, _bounds, clearly_uneven

RNG = np.random.default_rng(29)
SPANS = [
    ((18.0, 19.0), (19.0, 19.0)),
    ((18.9, 19.0), (18.5, 19.0)),
    ((2.0, 40.0), (1.0, 9.0)),
    ((1.0, 1.2), (3.0, 80.0)),
]


def by_each(ratio: Floats, df_a: Floats, df_b: Floats) -> Floats:
    upper = special.fdtrc(df_a, df_b, ratio)
    return np.asarray(2.0 * np.minimum(upper, 1.0 - upper) < UNEQUAL_BOOTS)


def between(span: tuple[float, float], many: int) -> Floats:
    """Numbers of a span, its ends among them."""
    return np.concatenate([span, RNG.uniform(*span, size=many - 2)])


@pytest.mark.parametrize("spans", SPANS)
def test_what_bounds_decide_is_what_each_test_says(
    spans: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    df_a, df_b = (RNG.permutation(between(span, 4000)) for span in spans)
    for ratio in (np.exp(RNG.uniform(-7, 7, 4000)), np.exp(RNG.uniform(-1.5, 1.5, 4000))):
        assert (clearly_uneven(ratio, df_a, df_b) == by_each(ratio, df_a, df_b)).all()


@pytest.mark.parametrize("spans", SPANS)
def test_beyond_each_bound_no_degrees_of_freedom_say_otherwise(
    spans: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    df_a, df_b = (grid.ravel() for grid in np.meshgrid(*(np.linspace(*span, 40) for span in spans)))
    low, even_from, even_to, high = _bounds(df_a, df_b)
    for ratio in (low, high):
        assert by_each(np.full(df_a.shape, ratio), df_a, df_b).all()
    if even_from < even_to:
        for ratio in (even_from, even_to):
            assert not by_each(np.full(df_a.shape, ratio), df_a, df_b).any()


def test_bounds_of_degrees_of_freedom_that_lie_close_spare_nearly_all() -> None:
    low, even_from, even_to, high = _bounds(np.array([18.9, 19.0]), np.array([18.9, 19.0]))
    assert even_from / low < 1.03
    assert high / even_to < 1.03


@pytest.mark.parametrize("many", [3, FEW + 3])
def test_what_is_not_known_is_not_called_and_spoils_no_other(many: int) -> None:
    ratio, df_a, df_b = np.full(many, 30.0), np.linspace(18, 19, many), np.full(many, 19.0)
    ratio[1] = np.nan
    assert clearly_uneven(ratio, df_a, df_b).tolist() == [True, False, *[True] * (many - 2)]
    df_a[2] = np.nan
    assert clearly_uneven(ratio, df_a, df_b).tolist() == [True, False, False, *[True] * (many - 3)]
    df_a[2] = 0.0
    assert (clearly_uneven(ratio, df_a, df_b) == by_each(ratio, df_a, df_b)).all()
