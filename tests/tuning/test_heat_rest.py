"""Rest after load is held against the network of everything else: watts that are drawn elsewhere show."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, LOADS, ROOM, log_of, seconds, truth, watts
from validation.recorded.heat import EVEN, recorded

from evenhand.tuning import heat_rest
from evenhand.tuning.heat_doubts import Doubt, doubts
from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.heat_rest import OFF_C, RestChecked, rest_checked
from evenhand.tuning.network import Stage
from evenhand.tuning.network_fit import fit_network


def checked(log: HeatLog) -> RestChecked | None:
    return rest_checked(fit_network(log))


def beside(*, rest_share: float, load_share: float, seed: int = 1) -> HeatLog:
    """A part beside another: of the watts of both it draws one share at rest and another under load."""
    time = seconds(60)
    drawn = watts(time)
    share = np.where(drawn < 50, rest_share, load_share)
    own, other = truth(time, share * drawn, (Stage(c_per_w=0.5, seconds=90.0),)), truth(
        time, (1 - share) * drawn, (Stage(c_per_w=0.15, seconds=120.0),), room=0.0
    )  # fmt: skip
    read = own + other + 0.5 * np.random.default_rng(seed).standard_normal(time.size)
    return heat_log(time, np.round(read), drawn, ROOM)


@pytest.mark.parametrize("room", [ROOM, None])
@pytest.mark.parametrize("stages", [(COOLER,), (COOLER, CASE)])
@pytest.mark.parametrize("seed", range(3))
def test_where_watts_tell_all_rest_reads_as_the_rest_of_the_log_says(
    stages: tuple[Stage, ...], room: float | None, seed: int
) -> None:
    found = checked(log_of(*stages, room=room, minutes=30, seed=seed))
    assert found is not None
    assert abs(found.mean_c) < 0.8
    assert abs(found.most_c) < 2.0
    assert 0.8 < found.others_c < 2.0
    assert not found.differs
    assert found.middle_w == pytest.approx((25 + 200) / 2, abs=1.0)


@pytest.mark.parametrize(("rest_share", "warmer"), [(0.9, True), (0.2, False)])
def test_watts_that_are_drawn_elsewhere_at_rest_are_found_and_doubted(
    rest_share: float, *, warmer: bool
) -> None:
    heavier = beside(rest_share=rest_share, load_share=0.5)
    fit = fit_network(heavier)
    found = rest_checked(fit)
    assert found is not None
    assert (found.mean_c > 0) is warmer
    assert abs(found.mean_c) > 2
    assert Doubt.REST_DIFFERS in doubts(fit, rest=found)
    assert Doubt.REST_DIFFERS not in doubts(fit)


def test_the_same_share_everywhere_is_not_doubted() -> None:
    found = checked(beside(rest_share=0.5, load_share=0.5))
    assert found is not None
    assert abs(found.mean_c) < OFF_C


@pytest.mark.parametrize(
    "loads",
    [
        ((0.2, 25.0), (1.0, 200.0)),  # it never rests after load
        ((0.5, 200.0), (1.0, 130.0)),  # what is less than load is no rest
        ((0.5, 200.0), (1.0, 25.0)),  # without its rest the power never changed
        ((1.0, 200.0),),
    ],
)
def test_a_log_that_does_not_show_it_tells_nothing_of_it(loads: tuple[tuple[float, float], ...]) -> None:
    assert checked(log_of(COOLER, minutes=30, loads=loads)) is None


def test_a_rest_whose_temperatures_are_missing_and_a_very_long_log_tell_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    log = log_of(COOLER, minutes=30)
    unread = np.where(log.time_s > LOADS[2][0] * log.span_s - 5, np.nan, log.temperature_c)
    assert checked(replace(log, temperature_c=unread)) is None
    monkeypatch.setattr(heat_rest, "MOST_ROWS", 100)
    assert checked(log) is None


@pytest.mark.parametrize(("sensor", "low", "high"), [("memory_c", -3.6, -2.6), ("chip_c", 0.6, 1.6)])
def test_of_a_real_card_the_memory_is_cooler_at_rest_and_the_chip_warmer_than_load_says(
    sensor: str, low: float, high: float
) -> None:
    found = checked(recorded(EVEN, sensor)[0])
    assert found is not None
    assert low < found.mean_c < high


def test_a_fit_of_all_rows_hides_most_of_what_the_real_card_s_memory_is_off_by() -> None:
    log, loads = recorded(EVEN, "memory_c")
    fit = fit_network(log)
    found = rest_checked(fit)
    assert found is not None
    after = (loads == "rest") & (log.time_s > 60)
    assert abs(found.mean_c) > 2 * abs(float(np.nanmean(fit.residuals[after])))
