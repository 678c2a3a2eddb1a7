"""The rungs of a price that are asked hold the nearest one that turns anything."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from validation.workshops import MOSTLY_PLAY, PRICES, a_test, case_of, cells_of, saltmarsh_cells

from evenhand.records.audiences import Property
from evenhand.verdicts.before import Before
from evenhand.verdicts.moves import Aspect, Steps
from evenhand.verdicts.named_weights import named_weights
from evenhand.verdicts.price_ladder import rungs_of
from evenhand.verdicts.price_turns import turns
from evenhand.verdicts.worth_asking import Sought

WEIGHED = replace(MOSTLY_PLAY, properties={Property.SPEED: 3, Property.PRICE: 1}, fixed_minor=20000)
STEPS = Steps(price_minor=37)
BOTH = (Aspect.ORDER, Aspect.OUTCOME)


@pytest.mark.parametrize("setup", ["wren", "plover", "dunlin"])
def test_the_nearest_turn_is_that_of_asking_every_price(setup: str) -> None:
    before = Before.of(case_of(WEIGHED, saltmarsh_cells(), prices=PRICES))
    ladder = rungs_of(setup, PRICES[setup], fixed_minor=20000, steps=STEPS)
    found = turns(before.states(before.sums()), ladder)
    away = np.arange(len(ladder.minors)) - ladder.here
    every = before.case
    said = [
        Before.of(replace(every, prices={**PRICES, setup: int(minor)})).readings
        for minor in ladder.minors[:: len(ladder.minors) // 400]
    ]
    tried = away[:: len(ladder.minors) // 400]
    for pair in range(3):
        for aspect in (Aspect.ORDER, Aspect.OUTCOME):
            was = before.was(pair, aspect)
            turned = [
                abs(k) for k, each in zip(tried, said, strict=True) if each[pair].code(aspect)[0] != was
            ]
            rungs, _, _ = found.nearest(pair, aspect, was)
            # Between two prices that were asked lies what may turn first.
            assert abs(rungs[0]) <= min(turned, default=np.inf)
            if np.isfinite(rungs[0]):
                just = int(ladder.minors[ladder.here + int(rungs[0])])
                then = Before.of(replace(every, prices={**PRICES, setup: just}))
                assert then.was(pair, aspect) != was


def five_builds(rng: np.random.Generator) -> Before:
    """Some per cent apart under a small margin, so that who is called hangs on the others too."""
    tests = [*(a_test(f"t{i}", "games") for i in range(2)), a_test("w", "work")]
    rates = {f"s{k}": {t.key: 100 * float(np.exp(rng.normal(0, 0.03))) for t in tests} for k in range(5)}
    prices = {setup: 90000 + 1500 * int(rng.integers(0, 9)) for setup in rates}
    cells = cells_of(rates, tests, rng=rng, exact=False)
    return Before.of(case_of(WEIGHED, cells, tests=tests, prices=prices, margin=0.004))


@pytest.mark.parametrize(("seed", "beside"), [(1, "price"), (11, "price"), (3, "weight"), (9, "weight")])
def test_what_is_sought_is_found_by_asking_what_is_worth_it(seed: int, beside: str) -> None:
    rng = np.random.default_rng(seed)
    before = five_builds(rng)
    prices = before.case.prices
    first, then = (
        rungs_of(s, prices[s], fixed_minor=20000, steps=Steps(price_minor=300)) for s in ("s1", "s3")
    )
    if beside == "price":
        goes = first.sizes(np.arange(len(first.minors), dtype=float) - first.here)
        sums = [pair.repeated(len(goes)) for pair in before.sums()]
        states = before.states(sums, prices={**prices, "s1": first.minors})
    else:
        weight, shares = next(named_weights(before.case)), np.arange(1, 100) / 100
        goes = np.abs(shares - weight.share)
        states = before.states(weight.sums_at(shares, before.pairs))
    sought = [
        Sought(
            outcome=before.was(i, Aspect.OUTCOME),
            goes={aspect: goes / rng.uniform(0.02, 0.4) for aspect in BOTH},
            most={aspect: rng.uniform(0.02, 0.4) for aspect in BOTH},
            still=beside == "price" and "s1" not in before.place(i),
        )
        for i in range(len(before.pairs))
    ]
    every, some = turns(states, then), turns(states, then, sought)
    assert some.rungs.size < every.rungs.size
    turned = 0
    for pair, aspect in product(range(len(before.pairs)), BOTH):
        if aspect is Aspect.ORDER and (sought[pair].still or not states.hangs_on(pair, "s3")):
            continue  # one of the two turns it alone, or nothing does
        was = before.was(pair, aspect)
        wanted, found = every.nearest(pair, aspect, was)[0], some.nearest(pair, aspect, was)[0]
        near = then.sizes(wanted) < sought[pair].most[aspect]
        here = (sought[pair].goes[aspect] < 1.0) & near & (np.abs(wanted) != 1.0)  # which is turned alone
        assert np.array_equal(wanted[here], found[here])
        turned += int(here.sum())
    assert turned > 20


def test_fewer_rungs_are_asked_than_there_are() -> None:
    before = Before.of(case_of(WEIGHED, saltmarsh_cells(), prices=PRICES))
    ladder = rungs_of("plover", PRICES["plover"], fixed_minor=20000, steps=Steps())
    found = turns(before.states(before.sums()), ladder)
    assert found.rungs.size < 60 < len(ladder.minors)


def test_where_the_price_is_not_weighed_nothing_turns_by_it() -> None:
    before = Before.of(case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES))
    ladder = rungs_of("plover", PRICES["plover"], fixed_minor=0, steps=STEPS)
    found = turns(before.states(before.sums()), ladder)
    rungs, _, _ = found.nearest(0, Aspect.ORDER, before.was(0, Aspect.ORDER))
    assert np.isinf(rungs).all()
