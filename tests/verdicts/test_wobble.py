"""Weights are opinions: how often a verdict holds if they were a little other."""

import math
from dataclasses import replace

import numpy as np
import pytest
from validation.workshops import MOSTLY_PLAY, SALTMARSH_TESTS, case_of, cells_of, saltmarsh_cells

from evenhand.findings.finding import Cell
from evenhand.findings.gaps import Gap, Topic
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.case import Case
from evenhand.verdicts.noise import with_noise
from evenhand.verdicts.reading import lay_pairs
from evenhand.verdicts.shares_drawn import drawn_shares
from evenhand.verdicts.ways import mixed
from evenhand.verdicts.wobble import Wobble, drawn, wobble

CELLS = saltmarsh_cells()


def wobbled(case: Case, firmness: float = 20.0, seed: int = 1) -> Wobble:
    pair = next(p for p in lay_pairs(case) if p.grounds.a != "wren")
    found = wobble(case, pair, np.random.default_rng(seed), firmness=firmness)
    assert found is not None
    return found


def test_weights_that_wobble_much_make_less_sure_of_the_order() -> None:
    firm = wobbled(case_of(MOSTLY_PLAY, CELLS), firmness=5000)
    loose = wobbled(case_of(MOSTLY_PLAY, CELLS), firmness=4)
    assert firm.a_in_front > loose.a_in_front > 0.5


def test_the_shares_add_up() -> None:
    found = wobbled(case_of(MOSTLY_PLAY, CELLS))
    assert found.within + found.a_by_margin + found.b_by_margin == pytest.approx(1.0)
    assert found.within > 0.9


def test_drawn_shares_have_the_mean_and_spread_that_are_stated() -> None:
    case = case_of(MOSTLY_PLAY, CELLS)
    pair = lay_pairs(case)[0]
    ends, mix = drawn(case, pair, np.random.default_rng(2), draws=20000, firmness=20.0)
    weights = mixed(ends, mix.of).weights
    games = np.array([ground.test in ("causeway", "tramlines", "regatta", "ember", "choir")
                      for ground in pair.grounds.grounds])  # fmt: skip
    share = weights[:, games].sum(axis=1)
    assert share.mean() == pytest.approx(0.8, abs=0.005)
    assert share.std() == pytest.approx(math.sqrt(0.8 * 0.2 / 21), rel=0.03)


def equals(rates: dict[str, dict[str, float]], seed: int) -> tuple[Cell, ...]:
    return cells_of(rates, SALTMARSH_TESTS, rng=np.random.default_rng(seed), exact=False)


def test_of_equals_each_is_in_front_half_the_time() -> None:
    rates = {s: {t.key: 100.0 for t in SALTMARSH_TESTS} for s in ("a", "b")}
    fronts = [
        wobbled(
            case_of(
                MOSTLY_PLAY, cells_of(rates, SALTMARSH_TESTS, rng=np.random.default_rng(seed), exact=False)
            ),
            seed=seed,
        ).a_in_front
        for seed in range(200)
    ]
    assert np.mean(fronts) == pytest.approx(0.5, abs=0.06)
    assert np.mean([front < 0.05 for front in fronts]) == pytest.approx(0.05, abs=0.045)


def test_a_single_named_weight_cannot_wobble() -> None:
    one = Audience(key="x", name="X", groups={"games": 1})
    loose, firm = (wobbled(case_of(one, CELLS), firmness=f) for f in (1.0, 1000.0))
    assert loose.a_by_margin == pytest.approx(firm.a_by_margin, abs=0.02)  # but for the draws themselves


def test_without_a_spread_nothing_is_drawn() -> None:
    single = [replace(c, observations=c.observations[:1]) for c in CELLS if c.test == "choir"]
    case = case_of(Audience(key="x", name="X", groups={"games": 1}), single)
    assert wobble(case, lay_pairs(case)[0], np.random.default_rng(1)) is None


def test_noise_keeps_its_one_share_however_the_weights_wobble() -> None:
    quiet = replace(MOSTLY_PLAY, properties={Property.SPEED: 80, Property.NOISE: 20})
    bare = case_of(quiet, CELLS)
    heard_of = [
        with_noise(p, [Gap(topic=Topic.SOUND, a=p.a, b=p.b, difference=-2.0, se=0.4, df=4.0)])
        for p in bare.pairs
    ]
    case = replace(bare, pairs=tuple(heard_of))
    pair = lay_pairs(case)[0]
    ends, mix = drawn(case, pair, np.random.default_rng(2), draws=500, firmness=20.0)
    found = mixed(ends, mix.of)
    heard = [ground.property is Property.NOISE for ground in pair.grounds.grounds]
    assert found.weights[:, heard].sum(axis=1) == pytest.approx(0.2)
    assert found.weights.sum(axis=1) == pytest.approx(1.0)


def test_a_price_that_is_weighed_counts_in_every_draw() -> None:
    dear = replace(MOSTLY_PLAY, properties={Property.SPEED: 50, Property.PRICE: 50})
    cheap_a, cheap_b = (
        wobbled(case_of(dear, CELLS, prices={"plover": a, "dunlin": b, "wren": 1000}))
        for a, b in ((900, 1100), (1100, 900))
    )
    assert (cheap_a.a_in_front, cheap_b.a_in_front) == (1.0, 0.0)


def test_only_a_single_thing_is_told_to_stand_alone() -> None:
    one = Audience(key="x", name="X", groups={"games": 1, "work": 0})
    assert [wobbled(case_of(each, CELLS)).alone for each in (one, MOSTLY_PLAY)] == [True, False]


def test_shares_drawn_before_are_those_drawn_now_and_leave_the_generator_alike() -> None:
    mean = (8.0, 2.0, 10.0)
    for seed in (3, 4, 3):
        plain, known = np.random.default_rng(seed), np.random.default_rng(seed)
        expected = plain.dirichlet(mean, size=50)
        for _ in range(2):  # made, and had again
            known = np.random.default_rng(seed)
            assert (drawn_shares(mean, known, 50) == expected).all()
        assert known.standard_t(5.0, size=9).tolist() == plain.standard_t(5.0, size=9).tolist()


def test_drawn_shares_cannot_be_spoilt_for_those_who_ask_next() -> None:
    shares = drawn_shares((8.0, 2.0), np.random.default_rng(1), 5)
    with pytest.raises(ValueError, match="read-only"):
        shares[0] = 0.0
