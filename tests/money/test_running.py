"""Electricity beside the price: known answers, and what is left out where a machine was not read."""

from __future__ import annotations

import pytest

from evenhand.money.running import energy_minor, mean_watts


def test_a_test_that_was_not_read_on_every_machine_counts_for_none() -> None:
    watts = {"play": {"a": 300.0, "b": 280.0}, "work": {"a": 100.0}}
    assert mean_watts(watts, {"play": 1.0, "work": 5.0}) == {"a": 300.0, "b": 280.0}


@pytest.mark.parametrize("watts", [{}, {"play": {}}, {"play": {"a": 1.0}}])
def test_without_a_weighed_reading_there_is_no_mean(watts: dict[str, dict[str, float]]) -> None:
    assert mean_watts(watts, {"work": 1.0}) == {}


@pytest.mark.parametrize(
    ("watts", "hours", "years", "tariff", "cost"),
    [
        (300.0, 1000.0, 3.0, 30.0, 27_000),
        (0.0, 1000.0, 3.0, 30.0, 0),
        (100.0, 5.0, 1.0, 1.0, 1),
        (100.0, 4.9, 1.0, 1.0, 0),
    ],
)
def test_kilowatt_hours_times_the_tariff_in_whole_units(
    watts: float, hours: float, years: float, tariff: float, cost: int
) -> None:
    assert energy_minor(watts, hours_a_year=hours, years=years, tariff_minor=tariff) == cost
