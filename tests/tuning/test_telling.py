"""Which trial tells most: one that shrinks the doubt by what it costs, where the part may be set."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.tuning.test_planning import GRID, WALKED
from validation.chips import GOAL, ROOM_C

from evenhand.tuning.edge import EDGE_RATE, Edge, learn
from evenhand.tuning.evidence import evidence_of
from evenhand.tuning.telling import CHANGE_H, CRASH_H, LENGTHS_H, MOST_RATE, Telling, telling_trial

EDGE = learn(evidence_of(WALKED, room_c=ROOM_C))
VOLTS = dict.fromkeys(GRID.clocks_mhz, GRID.voltages_mv)


def told(edge: Edge = EDGE, **changes: object) -> Telling:
    found = telling_trial(edge, GOAL, 5050.0, VOLTS, ROOM_C, **changes)  # type: ignore[arg-type]
    assert found is not None
    return found


def doubt(edge: Edge, weights: np.ndarray) -> float:
    """The standard deviation of what is needed, summed over everything that the part may be."""
    need = edge.at(5050.0, GOAL.room_c) + edge.spread_mv * np.log(EDGE_RATE / GOAL.rate)
    weights = np.where(edge.floor == 0, weights, 0.0)
    middle = np.average(need, weights=weights)
    return float(np.sqrt(np.average((need - middle) ** 2, weights=weights)))


def test_its_gain_is_what_it_takes_off_the_doubt_on_average_over_how_it_may_end() -> None:
    found = told()
    rate = EDGE.rate(found.voltage_mv, found.clock_mhz, ROOM_C)
    cuts = np.linspace(0, found.hours, 200)
    ways = [np.exp(-a * rate) - np.exp(-b * rate) for a, b in pairwise(cuts)]
    ways.append(np.exp(-found.hours * rate))
    cured = EDGE.weights * (EDGE.floor == 0) / EDGE.weights[EDGE.floor == 0].sum()
    after = sum(float(cured @ way) * doubt(EDGE, EDGE.weights * way) for way in ways)
    assert found.gain_mv == pytest.approx(doubt(EDGE, EDGE.weights) - after, rel=0.1)
    assert found.holds == pytest.approx(float(cured @ ways[-1]), abs=0.02)


def test_its_cost_is_the_hours_until_it_ends_setting_the_point_and_the_trouble_of_a_failure() -> None:
    found = told()
    least = CHANGE_H + CRASH_H * (1 - found.holds)
    assert least + found.holds * found.hours < found.cost_h < least + found.hours


def test_no_other_length_is_worth_more() -> None:
    found = told()
    assert found.hours in LENGTHS_H
    assert found.worth == max(told(lengths_h=(hours,)).worth for hours in LENGTHS_H)


def test_it_asks_for_no_point_at_which_the_part_would_fail_at_once() -> None:
    deep = [volts for volts in GRID.voltages_mv if rate_at(volts) > 1.2 * MOST_RATE]
    low = [volts for volts in GRID.voltages_mv if MOST_RATE / 3 < rate_at(volts) < MOST_RATE / 1.2]
    assert telling_trial(EDGE, GOAL, 5050.0, {5050.0: deep}, ROOM_C) is None
    found = telling_trial(EDGE, GOAL, 5050.0, {5050.0: low}, ROOM_C)
    assert found is not None
    assert found.hours == LENGTHS_H[0]
    assert told(lengths_h=(8.0,)).voltage_mv > low[-1]


def rate_at(voltage_mv: float) -> float:
    """Failures an hour of the middle one of all that the part may be."""
    (edge,), (spread,) = EDGE.edge_mv(5050.0, ROOM_C, 0.5), EDGE._quantiles(EDGE.spread_mv, (0.5,))
    return EDGE_RATE * math.exp(-(voltage_mv - edge) / spread)


def test_nothing_is_told_where_nothing_may_be_set() -> None:
    assert telling_trial(EDGE, GOAL, 5050.0, {5050.0: ()}, ROOM_C) is None
    assert telling_trial(EDGE, GOAL, 5050.0, {5050.0: (1500.0,)}, ROOM_C) is None


def test_the_more_is_known_the_less_a_trial_is_worth() -> None:
    soaked = [replace(each, hours=20 * each.hours) for each in WALKED if not each.outcome.failed]
    surer = learn(evidence_of([*WALKED * 6, *soaked], room_c=ROOM_C))
    assert told(surer).worth < told().worth / 2
