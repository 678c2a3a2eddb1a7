"""Ways of weighing in rows: each is laid as one alone is, and mixtures lie between their ends."""

from dataclasses import replace

import numpy as np
import pytest
from validation.workshops import MOSTLY_PLAY, a_test, case_of, cells_of

from evenhand.records.audiences import Property
from evenhand.verdicts.case import Case
from evenhand.verdicts.named_weights import movable, named_weights
from evenhand.verdicts.parts_left import left_without
from evenhand.verdicts.reading import lay_pairs
from evenhand.verdicts.ways import Axes, mixed
from evenhand.verdicts.weights import lay_shares, named_parts, shares_of_properties

TESTS = (a_test("a", "games"), a_test("b", "games"), a_test("c", "work", frames=False))
ALL = {Property.SPEED: 4, Property.LOWS: 3, Property.NOISE: 2, Property.PRICE: 1}


@pytest.fixture
def case() -> Case:
    rates = {s: {t.key: 100.0 + i for t in TESTS} for i, s in enumerate(("p", "d"))}
    cells = list(cells_of(rates, TESTS, rng=np.random.default_rng(2)))
    lows = [replace(c, metric="low_1pct", headline=False) for c in cells if c.test == "a"]
    audience = replace(MOSTLY_PLAY, properties=ALL, tests={"b": 30})
    properties = frozenset({Property.SPEED, Property.LOWS})
    return case_of(audience, [*cells, *lows], tests=TESTS, prices={"p": 900, "d": 800}, properties=properties)


def test_a_way_is_laid_as_its_shares_are(case: Case) -> None:
    """Lows of a score are its speed; lows of b and noise have no number; noise and price have one share."""
    axes, (pair,) = Axes.of(case), case.pairs
    shares = {"a": 0.5, "b": 0.2, "c": 0.3}
    properties = shares_of_properties(case.audience)
    ways = axes.ways(np.array([shares[t] for t in axes.tests]), np.array(list(properties.values())))
    laid, alone = axes.lay(pair, ways), lay_shares(shares, properties, pair, tests=case.tests)
    assert laid.weights[0] == pytest.approx(alone.weights)
    assert laid.price[0] == pytest.approx(alone.price)
    assert laid.missing[0] == pytest.approx(alone.missing_share)
    assert alone.missing.keys() == {("", Property.NOISE), ("b", Property.LOWS)}


def test_a_named_weight_at_its_own_share_is_the_audiences_weighting(case: Case) -> None:
    (pair,) = lay_pairs(case)
    for weight in named_weights(case):
        at = weight.at(np.array([weight.share]), pair)
        assert at.weights[0] == pytest.approx(pair.weights[0]), weight.name
        assert (at.price[0], at.missing[0]) == pytest.approx((pair.price[0], pair.missing[0]))


def test_every_ends_of_several_are_mixed_in_turn(case: Case) -> None:
    axes, (pair,) = Axes.of(case), case.pairs
    ends = axes.lay(pair, np.eye(len(axes.tests) * len(axes.properties))[:4])
    both = mixed(ends, np.array([[0.25, 0.75], [0.5, 0.5], [1.0, 0.0]]))
    assert both.weights.shape == (6, len(pair.grounds))
    assert both.weights[3] == pytest.approx(0.25 * ends.weights[2] + 0.75 * ends.weights[3])
    assert both.weights[5] == pytest.approx(ends.weights[2])


def test_a_part_without_a_test_left_moves_no_more_and_of_two_left_one_moves(case: Case) -> None:
    axes = Axes.of(case)
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    gone = np.array([[test == "c" for test in axes.tests], [False] * 3])
    left = left_without(parts, axes.tests, gone)
    names = [[w.name for w in movable(case, axes, left, n) if w.part is not None] for n in (0, 1)]
    assert names == [["games"], ["games", "work", "b"]]
