"""The rungs of a price that are asked hold the nearest one that turns anything."""

from dataclasses import replace

import numpy as np
import pytest
from validation.workshops import MOSTLY_PLAY, PRICES, case_of, saltmarsh_cells

from evenhand.records.audiences import Property
from evenhand.verdicts.before import Before
from evenhand.verdicts.moves import Aspect, Steps
from evenhand.verdicts.price_ladder import rungs_of
from evenhand.verdicts.price_turns import turns

WEIGHED = replace(MOSTLY_PLAY, properties={Property.SPEED: 3, Property.PRICE: 1}, fixed_minor=20000)
STEPS = Steps(price_minor=37)


@pytest.mark.parametrize("setup", ["wren", "plover", "dunlin"])
def test_the_nearest_turn_is_that_of_asking_every_price(setup: str) -> None:
    before = Before.of(case_of(WEIGHED, saltmarsh_cells(), prices=PRICES))
    ladder = rungs_of(setup, PRICES[setup], fixed_minor=20000, steps=STEPS)
    found = turns(before.sums(), ladder, margin=before.margin, prices=PRICES)
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


def test_fewer_rungs_are_asked_than_there_are() -> None:
    before = Before.of(case_of(WEIGHED, saltmarsh_cells(), prices=PRICES))
    ladder = rungs_of("plover", PRICES["plover"], fixed_minor=20000, steps=Steps())
    found = turns(before.sums(), ladder, margin=before.margin, prices=PRICES)
    assert found.rungs.size < 60 < len(ladder.minors)


def test_where_the_price_is_not_weighed_nothing_turns_by_it() -> None:
    before = Before.of(case_of(MOSTLY_PLAY, saltmarsh_cells(), prices=PRICES))
    ladder = rungs_of("plover", PRICES["plover"], fixed_minor=0, steps=STEPS)
    found = turns(before.sums(), ladder, margin=before.margin, prices=PRICES)
    rungs, _, _ = found.nearest(0, Aspect.ORDER, before.was(0, Aspect.ORDER))
    assert np.isinf(rungs).all()
