"""A log made ready: what is refused, what is bridged, what begins anew."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.errors import BadLog
from evenhand.tuning.heat_log import heat_log

N = 200
TIME = np.arange(float(N))
WARM = np.linspace(30.0, 60.0, N)
DRAWN = np.where(TIME < 60, 20.0, 120.0)


def without(values: np.ndarray, *rows: int | slice) -> np.ndarray:
    values = values.copy()
    for row in rows:
        values[row] = np.nan
    return values


@pytest.mark.parametrize(
    ("time", "found"),
    [
        (TIME - 1, r"row 1 \(-1 s\) is missing, below 0"),
        (np.r_[TIME[:50], TIME[49:-1]], "row 51 .* not after the one before"),
        (without(TIME, 7), "row 8 .nan s. is missing"),
    ],
)
def test_times_that_do_not_rise_from_0_are_refused_with_their_row(time: np.ndarray, found: str) -> None:
    with pytest.raises(BadLog, match=found):
        heat_log(time, WARM, DRAWN)


@pytest.mark.parametrize(("warm", "drawn", "found"), [
    (WARM + 273.15, DRAWN, r"row 1 is 303.15 °C, which no part that works is"),
    (np.where(TIME == 6, -128.0, WARM), DRAWN, r"row 7 is -128 °C"),
    (WARM, DRAWN * 1000, r"row 1 draws 20000 W, more than any part does"),
])  # fmt: skip
def test_what_stands_in_another_unit_is_refused_with_its_row(
    warm: np.ndarray, drawn: np.ndarray, found: str
) -> None:
    with pytest.raises(BadLog, match=found):
        heat_log(TIME, warm, drawn)


def test_watts_below_0_are_refused_with_their_row() -> None:
    with pytest.raises(BadLog, match="row 4 draws -3 W"):
        heat_log(TIME, WARM, np.where(TIME == 3, -3.0, DRAWN))


def test_a_log_without_watts_is_asked_for_them() -> None:
    with pytest.raises(BadLog, match="no row says what the part drew") as told:
        heat_log(TIME, WARM, np.full(N, np.nan))
    assert told.value.todo == "record its watts beside it"


def test_a_log_that_is_too_short_says_what_to_record() -> None:
    for rows in (slice(0, 20), slice(0, 55)):
        with pytest.raises(BadLog, match="too few") as told:
            heat_log(TIME[rows], WARM[rows], DRAWN[rows])
        assert "one of rest, then load" in told.value.todo


def test_columns_of_other_lengths_are_refused() -> None:
    with pytest.raises(BadLog, match="199 values stand beside 200 times"):
        heat_log(TIME, WARM[:-1], DRAWN)


def test_where_it_stands_is_said() -> None:
    with pytest.raises(BadLog, match="too few") as told:
        heat_log(TIME[:20], WARM[:20], DRAWN[:20], where="logs/a.csv")
    assert told.value.where == "logs/a.csv"


def test_a_temperature_that_is_missing_is_only_not_read() -> None:
    log = heat_log(TIME, without(WARM, 3, 4), np.where(TIME == 9, np.inf, DRAWN))
    assert log.time_s.size == N - 1
    assert log.read.sum() == N - 3


def test_rows_missing_where_the_power_stayed_are_carried_over() -> None:
    kept = (TIME < 100) | (TIME > 160)
    log = heat_log(TIME[kept], WARM[kept], DRAWN[kept])
    assert (log.stretches, log.carried) == (1, 1)


def test_rows_missing_where_the_power_changed_begin_anew() -> None:
    kept = (TIME < 40) | (TIME > 80)
    log = heat_log(TIME[kept], WARM[kept], DRAWN[kept])
    assert (log.stretches, log.carried) == (2, 0)
    assert log.time_s[log.begins].tolist() == [0.0, 81.0]


def test_watts_missing_where_they_changed_begin_anew_too() -> None:
    log = heat_log(TIME, WARM, without(DRAWN, slice(40, 80)))
    assert log.stretches == 2
    assert np.isfinite(log.watts).all()


def test_the_room_is_filled_between_its_readings_and_none_where_there_are_none() -> None:
    room = np.full(N, np.nan)
    assert heat_log(TIME, WARM, DRAWN, room).room_c is None
    room[[0, 100]] = 20.0, 22.0
    filled = heat_log(TIME, WARM, DRAWN, room).room_c
    assert filled is not None
    assert filled[[0, 50, 150]].tolist() == [20.0, 21.0, 22.0]
