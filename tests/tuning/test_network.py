"""How heat comes and goes: against the sum done row by row, and against the law itself."""

from __future__ import annotations

import math

import numpy as np
import pytest

from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.network import Stage, course, response


def uneven(seed: int = 1, n: int = 300) -> HeatLog:
    rng = np.random.default_rng(seed)
    time = np.cumsum(rng.uniform(0.2, 4.0, n))
    return heat_log(time, np.zeros(n), rng.uniform(10, 200, n))


@pytest.mark.parametrize("seconds", [0.3, 5.0, 90.0, 4000.0])
def test_it_is_the_sum_row_by_row(seconds: float) -> None:
    log = uneven()
    begins = log.begins.copy()
    begins[120] = True
    log = log.only(np.ones(300, bool), begins=begins)
    warm, left, x, begun = [], [], 0.0, 0.0
    for k, time in enumerate(log.time_s.tolist()):
        if log.begins[k]:
            x, begun = 0.0, time
        else:
            stays = math.exp(-(time - log.time_s[k - 1]) / seconds)
            x = x * stays + float(log.watts[k]) * (1 - stays)
        warm.append(x)
        left.append(math.exp(-(time - begun) / seconds))
    warmed, remains = response(log, seconds)
    assert warmed == pytest.approx(warm, rel=1e-12)
    assert remains == pytest.approx(left, rel=1e-12)


def test_a_step_of_power_rises_as_the_law_says() -> None:
    time = np.arange(0.0, 600.0, 1.5)
    log = heat_log(time, np.zeros(time.size), np.full(time.size, 80.0))
    stages = (Stage(c_per_w=0.3, seconds=40.0), Stage(c_per_w=0.1, seconds=300.0))
    rise = 80 * sum(s.c_per_w * (1 - np.exp(-time / s.seconds)) for s in stages)
    assert course(log, stages, [0.0, 0.0]) == pytest.approx(rise, abs=1e-10)


def test_how_often_it_is_read_does_not_matter() -> None:
    time = np.arange(0.0, 400.0)
    drawn = np.where(time > 100, 150.0, 30.0)
    every = heat_log(time, np.zeros(400), drawn)
    rows = every.only((time % 10 == 0) | (time == 399))
    stage = Stage(c_per_w=0.4, seconds=55.0)
    fine, coarse = (course(log, [stage], [12.0]) for log in (every, rows))
    assert coarse == pytest.approx(fine[np.isin(every.time_s, rows.time_s)], abs=1e-10)
