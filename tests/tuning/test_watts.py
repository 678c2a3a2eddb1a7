"""What switches and what leaks."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.errors import BadRecord, NotEnoughRuns
from evenhand.tuning.bands import Band, Known
from evenhand.tuning.efficiency import (
    Clocks,
    Cooled,
    along,
    clocks,
    highest_clock,
    most_per_joule,
    rate_at,
    settled_c,
)
from evenhand.tuning.watts import Drawn, Leaks, Points, fit_watts, points

CLOCK = np.tile([2000.0, 3000.0, 4000.0, 5000.0], 3)
VOLT = np.tile([0.8, 0.9, 1.05, 1.25], 3) + np.repeat([0.0, 0.05, 0.1], 4)
WARM = np.linspace(40.0, 85.0, 12)[[5, 1, 8, 3, 11, 0, 7, 9, 2, 10, 4, 6]]
NEEDS = clocks(np.array([2000.0, 3000.0, 4000.0, 5000.0]), np.array([0.8, 0.9, 1.05, 1.25]))


def drawn(v: np.ndarray, f: np.ndarray, t: np.ndarray) -> np.ndarray:
    return 18e-3 * v**2 * f + 8 * np.exp(2.5 * (v - 1) + 0.01 * (t - 60))


def measured(scatter: float = 0.005, seed: int = 1, *, heat: bool = True) -> Points:
    noise = 1 + scatter * np.random.default_rng(seed).standard_normal(12)
    return points(VOLT, CLOCK, drawn(VOLT, CLOCK, WARM) * noise, WARM if heat else None)


@pytest.fixture(scope="module")
def power() -> Drawn:
    return fit_watts(measured())


def test_what_switches_is_found_within_its_band(power: Drawn) -> None:
    assert power.switched_nf.low < 18.0 < power.switched_nf.high
    assert power.switched_nf.value == pytest.approx(18.0, rel=0.05)


def test_watts_at_a_point_that_was_not_measured(power: Drawn) -> None:
    told = power.at(1.1, 4500.0, 70.0)
    was = float(drawn(np.array(1.1), np.array(4500.0), np.array(70.0)))
    assert told.low < was < told.high
    assert told.half < 0.03 * told.value


def test_what_rests_is_never_told_below_0() -> None:
    few = points(VOLT[:4], CLOCK[:4], 12e-3 * VOLT[:4] ** 2 * CLOCK[:4] * [1.02, 0.98, 1.03, 0.99])
    power = fit_watts(few)
    assert power.resting_w.value < power.resting_w.high / 2, "a band as wide below would reach below 0"
    assert 0 <= power.resting_w.low <= power.resting_w.value


def test_a_load_that_asks_for_half_switches_half(power: Drawn) -> None:
    whole, half = (power.at(1.1, 4500.0, activity=a).value for a in (1.0, 0.5))
    assert whole - half == pytest.approx(0.5e-3 * power.switched_nf.value * 1.1**2 * 4500)


def test_what_one_point_draws_more_than_another_is_no_wider_than_both_ends_allow() -> None:
    """Trials at one clock hardly tell switching from leaking, but their sum at either voltage they do."""
    volt = np.repeat([0.91, 0.93, 0.95, 0.97, 1.015], [6, 6, 6, 6, 1])
    rest = 22.0 * volt / 1.015
    noise = 1 + 0.006 * np.random.default_rng(10).standard_normal(volt.size)
    power = fit_watts(points(volt, np.full(volt.size, 2310.0), (62e-3 * volt**2 * 2310 + rest) * noise))
    assert power.switched_nf.half > 0.25 * power.switched_nf.value
    assert power.switched_nf.low >= 0
    assert power.resting_w.low >= 0
    stock, less = power.at(1.015, 2310.0), power.at(0.96, 2310.0)
    one = clocks(np.array([2310.0, 2311.0]), np.array([0.96, 1.2]))
    gain = most_per_joule(
        power, one, 2310.0, Known(value=1.0), np.random.default_rng(14), stock_v=1.015, between=False
    ).gain
    assert stock.low / less.high - 1e-3 < gain.low < gain.high < stock.high / less.low + 1e-3
    assert (
        gain.low < (62e-3 * 1.015**2 * 2310 + 22) / (62e-3 * 0.96**2 * 2310 + 22 * 0.96 / 1.015) < gain.high
    )


def test_a_growth_that_points_do_not_tell_is_what_was_believed() -> None:
    still = fit_watts(measured(heat=False))
    assert not still.heat_told
    assert still.values[3] == pytest.approx(0.008, rel=0.01)


def test_one_that_they_do_tell_is_theirs() -> None:
    wide = np.tile([20.0, 95.0], 6)
    noise = 1 + 0.002 * np.random.default_rng(5).standard_normal(12)
    watts = 2e-3 * VOLT**2 * CLOCK + 40 * np.exp(2.5 * (VOLT - 1) + 0.015 * (wide - 60))
    found = fit_watts(points(VOLT, CLOCK, watts * noise, wide))
    assert found.heat_told
    assert found.volts_told
    assert found.values[3] == pytest.approx(0.015, rel=0.1)
    assert found.leaks is Leaks.EXPONENTIAL


def test_leakage_that_grows_linearly_is_told_so_where_that_is_sure() -> None:
    wide = np.tile([0.0, 50.0, 100.0], 4)
    watts = 2e-3 * VOLT**2 * CLOCK + 40 * (1 + 0.018 * (wide - 50))
    noise = 1 + 0.002 * np.random.default_rng(6).standard_normal(12)
    found = fit_watts(points(VOLT, CLOCK, watts * noise, wide))
    assert (found.leaks, found.sure) == (Leaks.LINEAR, True)


def test_too_few_points_and_ones_that_are_alike_say_what_to_measure() -> None:
    few = points(VOLT[:3], CLOCK[:3], drawn(VOLT, CLOCK, WARM)[:3])
    alike = points(np.full(6, 1.0), np.full(6, 4000.0), np.linspace(80, 81, 6))
    for each in (few, alike):
        with pytest.raises(NotEnoughRuns, match="cannot tell what switches from what leaks") as told:
            fit_watts(each)
        assert "four clocks and voltages" in told.value.todo


@pytest.mark.parametrize("wrong", [0.0, -5.0, np.nan])
def test_a_value_that_is_missing_or_not_above_0_is_refused(wrong: float) -> None:
    for place in range(3):
        columns = [VOLT.copy(), CLOCK.copy(), np.full(12, 90.0)]
        columns[place][4] = wrong
        with pytest.raises(BadRecord, match=("voltage", "clock", "watts")[place]):
            points(*columns)


def cooled(c_per_w: float = 0.4, sd: float = 0.01, room: float = 24.0) -> Cooled:
    return Cooled(c_per_w=Known(value=c_per_w, sd=sd), room_c=Known(value=room, sd=0.5))


def test_watts_and_temperature_settle_on_each_other(power: Drawn) -> None:
    t = settled_c(power, cooled(), NEEDS)
    watts = power.watts(NEEDS.voltage_v, NEEDS.clock_mhz, t)
    assert t == pytest.approx(24 + 0.4 * watts, abs=0.01)


def test_heat_that_runs_away_is_told_as_without_end(power: Drawn) -> None:
    assert np.isinf(settled_c(power, cooled(c_per_w=5.0), NEEDS)[-1])


def test_the_highest_clock_within_a_limit_and_its_rate(power: Drawn) -> None:
    rng = np.random.default_rng(1)
    told = highest_clock(power, cooled(), NEEDS, 75.0, rng)
    assert told is not None
    fine = NEEDS.finer()
    t = np.full(fine.clock_mhz.size, 24.0)
    for _ in range(100):
        t = 24 + 0.4 * drawn(fine.voltage_v, fine.clock_mhz, t)
    was = float(fine.clock_mhz[t <= 75.0].max())
    assert told.low < was < told.high
    assert told.half < 200
    rate = rate_at(told, 4000.0, Known(value=0.7, sd=0.05), rng)
    assert rate.low < (was / 4000) ** 0.7 < rate.high


def test_no_clock_is_told_where_even_the_lowest_is_too_hot(power: Drawn) -> None:
    assert highest_clock(power, cooled(), NEEDS, 30.0, np.random.default_rng(1)) is None


def test_the_clock_with_the_most_work_per_joule(power: Drawn) -> None:
    told = most_per_joule(power, NEEDS, 4000.0, Known(value=0.9, sd=0.02), np.random.default_rng(1))
    fine = NEEDS.finer()
    watts = drawn(fine.voltage_v, fine.clock_mhz, np.full(fine.clock_mhz.size, WARM.mean()))
    work = fine.clock_mhz**0.9 / watts
    assert told.clock_mhz.low <= fine.clock_mhz[np.argmax(work)] <= told.clock_mhz.high
    stock = work[np.argmin(np.abs(fine.clock_mhz - 4000))]
    assert told.gain.low < work.max() / stock < told.gain.high


def test_where_work_follows_the_clock_little_the_lowest_is_best_and_may_not_be_the_end(power: Drawn) -> None:
    told = most_per_joule(power, NEEDS, 4000.0, Known(value=0.1), np.random.default_rng(1))
    assert told.clock_mhz.value == 2000.0
    assert told.at_an_end


def test_what_rests_at_the_wall_moves_the_best_clock_up() -> None:
    watts = drawn(VOLT, CLOCK, WARM)
    part, wall = (fit_watts(points(VOLT, CLOCK, watts + rest, WARM)) for rest in (0.0, 60.0))
    beta = Known(value=0.9)
    best = [
        most_per_joule(each, NEEDS, 4000.0, beta, np.random.default_rng(1)).clock_mhz.value
        for each in (part, wall)
    ]
    assert best[0] < best[1]


def test_along_clocks_watts_and_work_for_a_joule_lie_in_their_bands(power: Drawn) -> None:
    beta = Known(value=0.9, sd=0.02)
    found = along(power, NEEDS, (4000.0, 1.1), beta, np.random.default_rng(1))
    watts = drawn(NEEDS.voltage_v, NEEDS.clock_mhz, np.full(NEEDS.clock_mhz.size, WARM.mean()))
    stock = float(drawn(np.array([1.1]), np.array([4000.0]), WARM.mean())[0])
    assert found.stock_w.low <= stock <= found.stock_w.high
    for clock, true, band, gain in zip(NEEDS.clock_mhz, watts, found.watts, found.gain, strict=True):
        assert band.low <= true <= band.high
        assert gain.low <= (clock / 4000) ** 0.9 * stock / true <= gain.high


def test_along_clocks_the_best_gains_what_is_told_of_it(power: Drawn) -> None:
    beta, rng = Known(value=0.9, sd=0.02), np.random.default_rng
    told = most_per_joule(power, NEEDS, 4000.0, beta, rng(1), stock_v=1.1, between=False)
    found = along(power, NEEDS, (4000.0, 1.1), beta, rng(1))
    assert max(each.value for each in found.gain) == pytest.approx(told.gain.value)


def test_along_voltages_of_one_clock_less_of_them_does_more_for_a_joule(power: Drawn) -> None:
    at = Clocks(clock_mhz=np.full(3, 4000.0), voltage_v=np.array([1.0, 1.05, 1.1]))
    found = along(power, at, (4000.0, 1.1), Known(value=1.0), np.random.default_rng(1))
    assert found.gain[0].value > found.gain[1].value > found.gain[2].value == pytest.approx(1.0)


def test_stock_has_to_be_among_the_clocks(power: Drawn) -> None:
    with pytest.raises(BadRecord, match="stock, 6000 MHz, is not among the clocks"):
        most_per_joule(power, NEEDS, 6000.0, Known(value=0.9), np.random.default_rng(1))
    with pytest.raises(BadRecord, match="clocks do not rise"):
        clocks(np.array([3000.0, 2000.0]), np.array([0.9, 0.8]))


def test_a_rate_has_the_bands_of_clock_and_elasticity() -> None:
    clock = Band(value=4400.0, low=4300.0, high=4450.0)
    sure = rate_at(clock, 4000.0, Known(value=0.8), np.random.default_rng(2))
    assert (sure.low, sure.high) == pytest.approx((1.075**0.8, 1.1125**0.8), abs=0.006)
    unsure = rate_at(clock, 4000.0, Known(value=0.8, sd=0.2), np.random.default_rng(2))
    assert unsure.half > sure.half
