"""Mixtures of weightings are weighed as each of them would be, laid upon the columns by itself."""

import numpy as np
import pytest

from evenhand.stats.boots import boots_of
from evenhand.stats.mixing import Mix, weigh_mixed
from evenhand.stats.weighing import Columns, weigh

RNG = np.random.default_rng(7)
ENDS, MIX = RNG.random((6, 5)), RNG.dirichlet(np.ones(3), 11)  # two sets of three, eleven mixtures


def columns(gap: bool) -> Columns:
    """Five tests over four boots a side; one run is lacking where there is a gap."""
    sides = [RNG.normal(0, 0.01, (4, 5)) + RNG.normal(0, 0.01, (4, 1)) for _ in range(2)]
    if gap:
        sides[0][1, 2] = np.nan
    (a, boots_a), (b, boots_b) = map(boots_of, sides)
    return Columns(d=a - b, boots=(boots_a, boots_b))


@pytest.mark.parametrize("gap", [False, True])
def test_each_mixture_is_weighed_as_by_itself(gap: bool) -> None:
    laid = columns(gap)
    found = weigh_mixed([(laid, ENDS)], Mix(MIX))
    one_by_one = weigh(laid, np.concatenate([MIX @ ENDS[:3], MIX @ ENDS[3:]]))
    assert found is not None
    for name in ("d", "se", "df"):
        assert getattr(found, name) == pytest.approx(getattr(one_by_one, name), rel=1e-11)


@pytest.mark.parametrize("gaps", [(False, False), (True, False)])
def test_several_sets_of_columns_are_weighed_as_each_alone(gaps: tuple[bool, bool]) -> None:
    first, then = map(columns, gaps)
    together = weigh_mixed([(first, ENDS[:3]), (then, ENDS)], Mix(MIX))
    alone = [weigh_mixed([(first, ENDS[:3])], Mix(MIX)), weigh_mixed([(then, ENDS)], Mix(MIX))]
    for name in ("d", "se", "df"):
        wanted = np.concatenate([getattr(each, name) for each in alone])
        assert getattr(together, name) == pytest.approx(wanted, rel=1e-12)


APART = Columns(
    d=np.array([0.02, 0.0, 0.01]), se=np.array([0.01, 0.02, 0.0]), df=np.array([4.0, 3.0, 1.0]), kin=(0, 0, 1)
)


def test_columns_that_stand_alone_beside_boots_are_mixed_too() -> None:
    """Two of them err together; one is known exactly; of some mixtures none has a weight."""
    both = columns(gap=True).beside(APART)
    ends = np.concatenate([RNG.random((6, 5)), RNG.random((6, 3)) * ([[1], [1], [0]] * 2)], axis=1)
    mix = np.concatenate([MIX, np.eye(3)])
    found = weigh_mixed([(both, ends)], Mix(mix))
    one_by_one = weigh(both, np.concatenate([mix @ ends[:3], mix @ ends[3:]]))
    assert found is not None
    for name in ("d", "se", "df"):
        assert getattr(found, name) == pytest.approx(getattr(one_by_one, name), rel=1e-11)


def test_columns_without_boots_are_weighed_elsewhere() -> None:
    assert weigh_mixed([(APART, ENDS[:, :3])], Mix(MIX)) is None


def test_what_weighs_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        weigh_mixed([(columns(gap=False), np.zeros((3, 5)))], Mix(MIX))


def test_mixtures_of_many_parts_are_weighed_as_those_of_few() -> None:
    """Mixtures of nine parts, of which one has nothing, and of the other eight."""
    rng = np.random.default_rng(7)
    ends, shares, root = (
        rng.uniform(size=(2, 9, 5)),
        rng.dirichlet(np.ones(8), size=6),
        rng.normal(size=(5, 5)),
    )
    squares = root @ root.T
    many = Mix(np.hstack([shares, np.zeros((6, 1))])).squared(ends.reshape(18, 5), squares)
    few = Mix(shares).squared(ends[:, :8].reshape(16, 5), squares)
    assert many == pytest.approx(few, rel=1e-12)
