"""What trials tell of an edge: weights that agree with sums over everything, answers that follow the data."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from evenhand.tuning.edge import EDGE_RATE, Beliefs, learn
from evenhand.tuning.evidence import Evidence

ONE_CLOCK = Evidence(
    voltage_mv=np.array([1000.0, 995, 990, 985]), clock_mhz=np.full(4, 5000.0), room_c=np.full(4, 24.0),
    hours=np.array([1.0, 0.3, 0.2, 0.05]), failures=np.array([0.0, 1, 2, 1]), late=np.zeros((0, 5)),
)  # fmt: skip
HALF_A_STEP_MV = 2.5
NARROW = Beliefs(slope_sd=1e-4, warmth_sd=1e-4, floors=((0.3, 0.02),))


def more(
    evidence: Evidence, voltage: float, clock: float, room: float, hours: float, failed: int
) -> Evidence:
    """The same and so many hours more at a point, with so many failures in them."""
    return replace(
        evidence, voltage_mv=np.append(evidence.voltage_mv, voltage), hours=np.append(evidence.hours, hours),
        clock_mhz=np.append(evidence.clock_mhz, clock), room_c=np.append(evidence.room_c, room),
        failures=np.append(evidence.failures, failed),
    )  # fmt: skip


def summed_over_everything(
    evidence: Evidence, beliefs: Beliefs, share: float, rate: float
) -> tuple[float, float]:
    """The needed voltage and the chance of an uncured rate, by a fine sum over edge and e-fold."""
    edge = np.linspace(850, 1150, 3001)[:, None, None]
    spread = beliefs.spread_mv * np.exp(beliefs.spread_sd * np.linspace(-2.8, 2.8, 400))[None, :, None]
    floors = np.array([0.0, *(f for f, _ in beliefs.floors)])
    logs = -0.5 * (np.log(spread / beliefs.spread_mv) / beliefs.spread_sd) ** 2
    middle = (evidence.voltage_mv.min() + evidence.voltage_mv.max()) / 2
    logs = logs - 0.5 * ((edge - middle) / beliefs.edge_sd_mv) ** 2
    shares = np.array([s for _, s in beliefs.floors])
    logs = logs + np.log(np.array([1 - shares.sum(), *shares]))
    for volt, hours, failures in zip(evidence.voltage_mv, evidence.hours, evidence.failures, strict=True):
        each = EDGE_RATE * np.exp(-np.clip((volt - edge) / spread, -40, 80)) + floors
        logs = logs + failures * np.log(each) - hours * each
    weights = np.exp(logs - logs.max())
    uncured = weights[..., 1:].sum() / weights.sum()
    need = np.broadcast_to(edge + spread * np.log(EDGE_RATE / rate), (*edge.shape[:1], spread.shape[1], 1))
    order = np.argsort(need.ravel())
    passed = np.cumsum(weights[..., 0].ravel()[order])
    return float(need.ravel()[order][np.searchsorted(passed, share * passed[-1])]), float(uncured)


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_weighted_points_are_as_good_as_a_fine_sum_over_everything(share: float) -> None:
    edge = learn(ONE_CLOCK, NARROW)
    needed, uncured = summed_over_everything(ONE_CLOCK, NARROW, share, 1e-3)
    assert edge.needed_mv(5000, 24, 1e-3, share)[0] == pytest.approx(needed, abs=HALF_A_STEP_MV)
    assert edge.uncured == pytest.approx(uncured, rel=0.02)


def test_more_failures_below_make_the_edge_surer() -> None:
    surer = more(more(ONE_CLOCK, 985.0, 5000.0, 24.0, 0.05, 3), 980.0, 5000.0, 24.0, 0.02, 3)
    for before, after in [(learn(ONE_CLOCK), learn(surer))]:
        widths = [q[1] - q[0] for q in (e.needed_mv(5000, 24, 1e-3, 0.05, 0.95) for e in (before, after))]
        assert widths[1] < widths[0]


def test_a_warmer_room_needs_no_less_and_a_higher_clock_more() -> None:
    edge = learn(ONE_CLOCK)
    cool, warm = (edge.needed_mv(5000, room, 1e-3, 0.95)[0] for room in (24, 34))
    assert warm > cool
    assert edge.needed_mv(5100, 24, 1e-3, 0.95)[0] > cool


def test_failures_high_above_the_edge_are_taken_for_a_rate_that_no_voltage_cures() -> None:
    steep = more(more(ONE_CLOCK, 985.0, 5000.0, 24.0, 0.03, 5), 980.0, 5000.0, 24.0, 0.005, 5)
    assert learn(steep).uncured < 0.05
    assert learn(more(steep, 1080.0, 5000.0, 24.0, 8.0, 4)).uncured > 0.9


def test_an_edge_is_told_even_where_an_uncured_rate_is_as_good_as_certain() -> None:
    edge = learn(more(ONE_CLOCK, 1200.0, 5000.0, 24.0, 100.0, 100))
    assert edge.uncured > 0.999
    assert np.isfinite(edge.edge_mv(5000, 24, 0.5)[0])


def test_a_failure_found_later_tells_less_than_one_whose_moment_is_known() -> None:
    known = more(ONE_CLOCK, 980.0, 5000.0, 24.0, 0.02, 1)
    late = replace(ONE_CLOCK, late=np.array([[980.0, 5000.0, 24.0, 0.0, 8.0]]))
    edges = map(learn, (known, late, ONE_CLOCK))
    sure, unsure, without = (edge._quantiles(edge.spread_mv, (0.05, 0.95)) for edge in edges)
    assert sure[1] - sure[0] < unsure[1] - unsure[0]
    assert unsure == pytest.approx(without, rel=1e-3)


def test_how_likely_it_holds_falls_with_hours_and_rises_with_voltage() -> None:
    edge = learn(ONE_CLOCK)
    assert edge.holds(1000, 5000, 24, 1) > edge.holds(1000, 5000, 24, 8) > edge.holds(990, 5000, 24, 8)


def test_the_clock_for_a_voltage_undoes_the_voltage_for_a_clock() -> None:
    beliefs = Beliefs(slope=0.5, slope_sd=1e-4)
    edge = learn(ONE_CLOCK, beliefs)
    (needed,) = edge.needed_mv(5100, 24, 1e-3, 0.5)
    assert edge.clock_mhz_at(needed, 24, 1e-3, 0.5)[0] == pytest.approx(5100, abs=2)


def test_without_a_trial_there_is_nothing_to_learn() -> None:
    nothing = np.zeros(0)
    empty = Evidence(
        voltage_mv=nothing, clock_mhz=nothing, room_c=nothing, hours=nothing, failures=nothing,
        late=np.zeros((0, 5)),
    )  # fmt: skip
    with pytest.raises(ValueError, match="no trial"):
        learn(empty)


def of(*rows: tuple[float, float, float, float, float]) -> Evidence:
    """Evidence from rows of voltage, clock, room, hours and failures."""
    volts, clocks, rooms, hours, failures = np.array(rows, dtype=float).T
    return Evidence(
        voltage_mv=volts, clock_mhz=clocks, room_c=rooms, hours=hours, failures=failures,
        late=np.zeros((0, 5)),
    )  # fmt: skip


def steep(slope: float, e_fold_mv: float, *clocks: float) -> Evidence:
    """A part tried about its edge at clocks between which the edge rises by much."""
    rows = []
    for clock in clocks:
        for above in range(-15, 45, 5):
            fails = min(1 / 6, float(np.exp(above / e_fold_mv)) / EDGE_RATE)
            edge = 1000.0 + slope * (clock - clocks[0])
            rows.append((edge + above, clock, 24.0, *((1 / 6, 0.0) if above > 0 else (fails, 1.0))))
    return of(*rows)


@pytest.mark.parametrize(
    ("evidence", "spread_mv", "edge_mv"),
    [
        (steep(4.0, 1.0, 5000, 5050, 5100, 5150), 1.0, 1000.0),
        (steep(3.0, 5.0, 5000, 6500, 8000, 9500), 8.0, 1000.0),
    ],
)
def test_an_edge_far_from_what_was_believed_is_found(
    evidence: Evidence, spread_mv: float, edge_mv: float
) -> None:
    edge = learn(evidence, Beliefs(spread_mv=spread_mv, spread_sd=0.001 if spread_mv < 8 else 0.7))
    assert edge.edge_mv(5000, 24, 0.5)[0] == pytest.approx(edge_mv, abs=2 * HALF_A_STEP_MV)


@pytest.mark.parametrize(
    "rows",
    [
        [(500, 5000, 24, 0.17, 0), (1500, 5000, 24, 0.01, 2), (1500, 800, 24, 0.01, 1)],
        [(1000, 5000, 24, 1e-4, 1), (1000, 500, 24, 1e4, 0), (100, 5000, 24, 1e4, 0)],
        [(1000, 5000, 24, 1e4, 0), (500, 5000, 24, 1e-6, 1)],
    ],
)
def test_trials_that_make_no_sense_together_still_give_weights_and_a_slope_that_does_not_fall(
    rows: list[tuple[float, float, float, float, float]],
) -> None:
    edge = learn(of(*rows))
    assert np.isfinite(edge.weights).all()
    assert edge.weights.sum() == pytest.approx(1)
    assert edge.lines[:, 1].min() >= 0
    assert np.isfinite(edge.needed_mv(5000, 24, 1e-3, 0.97)).all()
