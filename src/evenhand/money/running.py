"""What a machine's electricity costs beside its price, by the hours and tariff of whoever uses it."""

from __future__ import annotations

import math
from collections.abc import Mapping

HOUR_W_PER_KWH = 1000.0


def mean_watts(by_test: Mapping[str, Mapping[str, float]], weights: Mapping[str, float]) -> dict[str, float]:
    """Each machine's watts at the wall, the mean over the tests that somebody weighs.

    `by_test` are watts by test and machine; tests count in which every machine was read, so that all are held
    against the same work. Empty where there is none.

    >>> watts = {"play": {"a": 300.0, "b": 280.0}, "work": {"a": 160.0, "b": 190.0}, "idle": {"a": 60.0}}
    >>> mean_watts(watts, {"play": 0.75, "work": 0.25, "idle": 1.0})
    {'a': 265.0, 'b': 257.5}
    """
    machines = {machine for row in by_test.values() for machine in row}
    usable = {test: weights.get(test, 0.0) for test, row in by_test.items() if set(row) == machines}
    total = sum(usable.values())
    if not total > 0:
        return {}
    return {
        machine: sum(weight * by_test[test][machine] for test, weight in usable.items()) / total
        for machine in sorted(machines)
    }


def energy_minor(watts: float, *, hours_a_year: float, years: float, tariff_minor: float) -> int:
    """What the electricity costs in whole minor units, a half rounded up.

    watts / 1000 × hours a year × years × `tariff_minor` a kilowatt-hour. Only hours at this load are in it:
    idling, a screen and changes of the tariff are not.

    >>> energy_minor(300.0, hours_a_year=1000, years=3, tariff_minor=30)
    27000
    """
    return math.floor(watts / HOUR_W_PER_KWH * hours_a_year * years * tariff_minor + 0.5)
