"""A log of how warm a part was, what it drew and how warm the room was, made ready for a fit.

A row's watts are the mean since the row before it, as meters tell them. Where that is not known, because rows
are missing or have no watts, and both sides of the gap draw alike, the part is taken to have drawn that in it
too; else what it had stored by then is unknown, and the row after the gap begins a new stretch.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.errors import BadLog
from evenhand.stats.spread import Flags, Floats

LONGEST_STEP = 5.0  # usual steps between two rows; what is longer is a gap
ALIKE_SHARE, ALIKE_W = 0.1, 2.0  # watts before and after a gap that are no further apart than this are alike
FEWEST, SHORTEST_S = 30, 60.0  # readings and seconds; less shows no time constant

COLDEST_C, HOTTEST_C, MOST_W = -60.0, 200.0, 5000.0
"""No part that works is colder or hotter, and none draws more: what is told so stands in another unit."""

RECORD = "record ten minutes and more: one of rest, then load, then rest again"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatLog:
    """Readings over time, each of shape (n,); `temperature_c` is nan where it was not read.

    `room_c` is None where nobody wrote the room down. In rows that `begin`, nothing is known of what the part
    had stored. `carried` counts gaps over which the watts were taken to have stayed as they were, `left_out`
    stretches that no fit uses.
    """

    time_s: Floats
    temperature_c: Floats
    watts: Floats
    room_c: Floats | None
    begins: Flags
    carried: int = 0
    left_out: int = 0

    @property
    def read(self) -> Flags:
        """Rows that tell a temperature."""
        return np.isfinite(self.temperature_c)

    @property
    def stretch(self) -> npt.NDArray[np.intp]:
        """The number of each row's stretch, from 0."""
        return np.cumsum(self.begins) - 1

    @property
    def stretches(self) -> int:
        """How many stretches there are."""
        return int(self.begins.sum())

    @property
    def step_s(self) -> float:
        """The usual time between rows."""
        return float(np.median(np.diff(self.time_s)))

    @property
    def span_s(self) -> float:
        """The time from the first row to the last."""
        return float(self.time_s[-1] - self.time_s[0])

    def only(self, rows: Flags, *, begins: Flags | None = None) -> HeatLog:
        """Some of its rows, with other rows that begin anew where these are given, shape (n,)."""
        return HeatLog(
            time_s=self.time_s[rows], temperature_c=self.temperature_c[rows], watts=self.watts[rows],
            room_c=None if self.room_c is None else self.room_c[rows],
            begins=(self.begins if begins is None else begins)[rows], carried=self.carried,
            left_out=self.left_out,
        )  # fmt: skip


def heat_log(
    time_s: npt.ArrayLike,
    temperature_c: npt.ArrayLike,
    watts: npt.ArrayLike,
    room_c: npt.ArrayLike | None = None,
    *,
    where: str = "",
) -> HeatLog:
    """A log made ready. `room_c` is one value, a column, or None; nan and inf are taken for missing.

    Raises `BadLog` where times do not rise from 0 or later on, watts are below 0 or missing throughout,
    temperatures or watts are none that a part has, columns differ in length, or there are fewer than 30
    readings over 60 s.
    """
    time = np.asarray(time_s, float)
    warm, drawn = (_known(each, time, where) for each in (temperature_c, watts))
    _check_times(time, where)
    if (drawn < 0).any():
        row = int(np.argmax(drawn < 0))
        raise BadLog(f"row {row + 1} draws {drawn[row]:g} W, which is below 0", where=where,
                     todo="say which column is the power")  # fmt: skip
    _check_units(warm, drawn, where)
    if np.isnan(drawn).all():
        raise BadLog("no row says what the part drew", where=where, todo="record its watts beside it")
    if np.isfinite(warm).sum() < FEWEST or time[-1] - time[0] < SHORTEST_S:
        raise BadLog(
            f"{int(np.isfinite(warm).sum())} temperatures over {time[-1] - time[0]:.0f} s are too few to see "
            "how heat comes and goes", where=where, todo=RECORD,
        )  # fmt: skip
    room = None if room_c is None else _filled(_known(room_c, time, where))
    return _bridged(HeatLog(
        time_s=time, temperature_c=warm, watts=drawn, room_c=room, begins=np.zeros(time.size, bool)
    ))  # fmt: skip


def _known(column: npt.ArrayLike, time: Floats, where: str) -> Floats:
    """A column as numbers, nan where they are missing."""
    values = np.asarray(column, float)
    if values.ndim == 0:
        values = np.full(time.shape, float(values))
    if values.shape != time.shape:
        raise BadLog(f"{values.size} values stand beside {time.size} times", where=where,
                     todo="give every row a time, a temperature and its watts")  # fmt: skip
    return np.where(np.isfinite(values), values, np.nan)


def _check_times(time: Floats, where: str) -> None:
    if time.ndim != 1 or time.size < 2:
        raise BadLog("a log of one row shows no change", where=where, todo=RECORD)
    wrong = ~np.isfinite(time) | (time < 0)
    wrong[1:] |= ~(np.diff(time) > 0)
    if wrong.any():
        row = int(np.argmax(wrong))
        raise BadLog(
            f"the time of row {row + 1} ({time[row]:g} s) is missing, below 0 or not after the one before",
            where=where, todo="say which column is the time, in seconds that rise",
        )  # fmt: skip


def _check_units(warm: Floats, drawn: Floats, where: str) -> None:
    odd = (warm < COLDEST_C) | (warm > HOTTEST_C)
    if odd.any():
        row = int(np.argmax(odd))
        raise BadLog(f"row {row + 1} is {warm[row]:g} °C, which no part that works is", where=where,
                     todo="say which column is its temperature in °C, and take out what is none")  # fmt: skip
    if (drawn > MOST_W).any():
        row = int(np.argmax(drawn > MOST_W))
        raise BadLog(f"row {row + 1} draws {drawn[row]:g} W, more than any part does", where=where,
                     todo="say which column is its power, in watts")  # fmt: skip


def _filled(room: Floats) -> Floats | None:
    """A room's temperature between its readings; None without any."""
    known = np.isfinite(room)
    if not known.any():
        return None
    rows = np.arange(room.size)
    return np.interp(rows, rows[known], room[known])


def _bridged(log: HeatLog) -> HeatLog:
    """The log with watts in every row that it keeps, each gap either carried over or begun anew."""
    kept = np.flatnonzero(np.isfinite(log.watts))
    watts, begins, carried = log.watts[kept].copy(), np.zeros(kept.size, bool), 0
    begins[0] = True
    gap = np.diff(log.time_s[kept]) > LONGEST_STEP * log.step_s
    for row in np.flatnonzero(gap | (np.diff(kept) > 1)) + 1:
        before, after = watts[row - 1], watts[row]
        if abs(after - before) <= max(ALIKE_W, ALIKE_SHARE * max(before, after)):
            carried += 1
        else:
            begins[row] = True
    return HeatLog(
        time_s=log.time_s[kept], temperature_c=log.temperature_c[kept], watts=watts,
        room_c=None if log.room_c is None else log.room_c[kept], begins=begins, carried=carried,
    )  # fmt: skip
