"""Trials of one meter tell a law of their own, or what they lack for one."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from evenhand.records.trials import Meter, Outcome, Trial, Tuned
from evenhand.tuning.metered import LEAST_H, Lack, metered
from evenhand.tuning.watts import Beliefs

PART = Tuned(
    setup="wren", part="processor", stock_clock_mhz=4000.0, stock_voltage_mv=1000.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0,
)  # fmt: skip
NF, LEAKS = 14.0, 20.0
POINTS = [(2000.0, 850.0), (3000.0, 900.0), (4000.0, 1000.0), (4400.0, 1100.0), (4600.0, 1200.0)]


def trial(clock: float, voltage: float, watts: float | None, **more: object) -> Trial:
    made = Trial(
        setup="wren", part="processor", clock_mhz=clock, voltage_mv=voltage, load="integers", hours=1.0,
        outcome=Outcome.PASSED, hottest_c=70.0, watts=watts, watts_at=Meter.PART if watts else None,
    )  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]


def drawn(clock: float, voltage: float, hot: float = 70.0, *, rests: float = 0.0) -> float:
    """Watts of the stated part, whose leakage grows as is believed of any; by hand, without the model."""
    believed = Beliefs()
    volts = voltage / 1000
    grows = believed.per_v * (volts - 1.01) + believed.per_k * (hot - 70.0)
    return NF * volts * volts * clock / 1000 + LEAKS * math.exp(grows) + rests


TRIALS = [trial(f, v, drawn(f, v)) for f, v in POINTS]


def test_without_watts_there_is_no_meter() -> None:
    assert metered(PART, [trial(f, v, None) for f, v in POINTS]) == ()


def test_what_switches_and_what_leaks_is_found_again() -> None:
    (found,) = metered(PART, TRIALS)
    assert (found.meter, found.lack, len(found.trials), found.points, found.warm) == (
        Meter.PART, None, 5, 5, True
    )  # fmt: skip
    power = found.power
    assert power is not None
    assert power.switched_nf.value == pytest.approx(NF, rel=1e-3)
    middle = float(np.mean([v for _, v in POINTS])) / 1000
    believed = LEAKS * math.exp(Beliefs().per_v * (middle - 1.01))
    assert power.resting_w.value == pytest.approx(believed, rel=1e-3)


def test_noisy_watts_agree_with_a_weighted_fit_of_straight_lines() -> None:
    """Where leakage grows as believed the law is a straight one in two values: lines of any textbook do."""
    rng = np.random.default_rng(7)
    noisy = [replace(t, watts=(t.watts or 0) * (1 + 0.01 * rng.standard_normal())) for t in TRIALS * 4]
    (found,) = metered(PART, noisy)
    power = found.power
    assert power is not None
    watts = np.array([t.watts for t in noisy])
    grows = power.values[2] * (np.array([t.voltage_mv for t in noisy]) / 1000 - power.middle_v)
    columns = np.column_stack([
        [(t.voltage_mv / 1000) ** 2 * t.clock_mhz / 1000 for t in noisy], np.exp(grows),
    ])  # fmt: skip
    by_lines = np.linalg.lstsq(columns / watts[:, None], np.ones(watts.size), rcond=None)[0]
    assert power.values[:2] == pytest.approx(by_lines, rel=2e-3)


def test_two_meters_are_never_mixed() -> None:
    wall = [replace(t, watts=(t.watts or 0) / 0.88 + 40, watts_at=Meter.WALL) for t in TRIALS]
    at_wall, at_part = metered(PART, [*TRIALS, *wall])
    assert (at_wall.meter, at_part.meter) == (Meter.WALL, Meter.PART)
    assert metered(PART, TRIALS)[0].power is not None
    assert at_part.power is not None
    assert at_wall.power is not None
    assert at_part.power.switched_nf.value == pytest.approx(NF, rel=1e-3)
    nf = at_wall.power.switched_nf
    assert nf.low < NF / 0.88 < nf.high, "with what the supply loses"
    assert at_wall.power.resting_w.value > 40


@pytest.mark.parametrize(
    ("trials", "lack"),
    [
        (TRIALS[:3], Lack.FEW),
        (TRIALS[:3] * 4, Lack.FEW),
        ([trial(4000.0, 1000.0 + n, drawn(4000.0, 1000.0 + n)) for n in range(9)], Lack.ALIKE),
    ],
)
def test_too_few_points_or_ones_too_alike_are_said(trials: list[Trial], lack: Lack) -> None:
    (found,) = metered(PART, trials)
    assert (found.lack, found.power) == (lack, None)


def test_offsets_count_with_stock_and_tell_nothing_without_it() -> None:
    offsets = [replace(t, voltage_mv=t.voltage_mv - 1000.0) for t in TRIALS]
    (found,) = metered(replace(PART, offset=True), offsets)
    assert found.power is not None
    assert found.power.switched_nf.value == pytest.approx(NF, rel=1e-3)
    (lacking,) = metered(replace(PART, offset=True, stock_voltage_mv=None), offsets)
    assert (lacking.lack, lacking.power) == (Lack.OFFSETS, None)


def test_what_was_throttled_or_hardly_ran_is_left_out_and_counted() -> None:
    odd = [
        trial(4700.0, 1200.0, 300.0, outcome=Outcome.THROTTLED),
        trial(4600.0, 1190.0, 300.0, hours=LEAST_H / 2, outcome=Outcome.CRASH),
    ]
    (found,) = metered(PART, [*TRIALS, *odd])
    assert found.left == 2
    assert found.power is not None
    assert found.power.switched_nf.value == pytest.approx(NF, rel=1e-3)


def test_one_that_failed_after_a_while_tells_what_it_drew_until_then() -> None:
    failed = [replace(t, outcome=Outcome.WRONG_RESULT, hours=0.2) for t in TRIALS]
    assert len(metered(PART, failed)[0].trials) == 5


def test_where_few_have_a_temperature_all_are_used_without_any() -> None:
    cold = [replace(t, hottest_c=None) for t in TRIALS]
    (found,) = metered(PART, [*TRIALS[:2], *cold[2:]])
    assert (found.warm, len(found.trials), found.unread) == (False, 5, 0)


def test_where_enough_have_one_the_others_are_left_out_and_counted() -> None:
    cold = replace(TRIALS[0], hottest_c=None)
    (found,) = metered(PART, [*TRIALS, cold])
    assert (found.warm, len(found.trials), found.unread) == (True, 5, 1)


def test_a_voltage_that_is_left_alone_follows_the_clock_unseen_and_tells_no_law() -> None:
    alone = replace(PART, offset=True, voltage_step_mv=0.0)
    (found,) = metered(alone, [replace(each, voltage_mv=0.0) for each in TRIALS])
    assert (found.lack, found.power) == (Lack.LEFT_ALONE, None)
