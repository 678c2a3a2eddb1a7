"""What detectors ask of a run's sensors: which channel sits on which part, and when readings froze."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from evenhand.metrics.alignment import Alignment, How
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.curves import Flags, Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.sensors import ReadingsLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import NO_BREAK, amount, count


def in_role(sensors: SensorLog | None, role: Role) -> list[Channel]:
    """The channels of a log in one role."""
    return [] if sensors is None else [c for c in sensors.channels if c.role is role]


def beside(of: Channel, role: Role, channels: Sequence[Channel]) -> Channel | None:
    """The channel in this role on the same part: the same words, or the same first word, or the only one."""
    there = [c for c in channels if c.role is role]
    about = of.about.casefold()
    same = [c for c in there if c.about.casefold() == about]
    near = [c for c in there if c.about and c.about.casefold().split()[:1] == about.split()[:1]]
    for found in (same, near):
        if found:
            return found[0]
    return there[0] if len(there) == 1 and not (there[0].about and of.about) else None


def same_place(of: Channel, sensors: SensorLog | None) -> Channel | None:
    """The channel of another log that measures the same thing on the same part, in the same unit."""
    alike = (c for c in in_role(sensors, of.role) if c.unit == of.unit)
    return next((c for c in alike if c.about.casefold() == of.about.casefold()), None)


def frozen_from(sensors: SensorLog, limits: ReadingsLimits) -> float | None:
    """The second from which nothing changes any more, where readings that used to jump show a dead logger.

    Several channels of which none ever moves are dead from their first reading.
    """
    if sensors.time_s.size < limits.fewest or not sensors.channels:
        return None
    steps = np.diff(np.stack([channel.values for channel in sensors.channels]), axis=1)
    moved = (steps != 0).any(axis=0)
    last = int(np.flatnonzero(moved)[-1]) + 1 if moved.any() else 0
    still_s = float(sensors.time_s[-1] - sensors.time_s[last])
    whole_s = float(sensors.time_s[-1] - sensors.time_s[0])
    long = still_s >= max(limits.frozen_s, limits.frozen_share * whole_s)
    if not long or moved.size - last < limits.fewest:
        return None
    if not last:
        return float(sensors.time_s[0]) if len(sensors.channels) >= limits.never_alone else None
    turns = steps[:, 1:last] * steps[:, : last - 1] < 0
    lively = last >= limits.fewest and float(turns.mean(axis=1).max()) >= limits.lively
    return float(sensors.time_s[last]) if lively else None


def living(sensors: SensorLog | None, limits: ReadingsLimits) -> SensorLog | None:
    """The readings up to where they freeze; None without any."""
    if sensors is None or not sensors.time_s.size:
        return None
    end_s = frozen_from(sensors, limits)
    if end_s is None:
        return sensors
    if end_s <= sensors.time_s[0]:
        return None
    live = sensors.time_s <= end_s
    channels = tuple(replace(c, values=c.values[live]) for c in sensors.channels)
    return replace(sensors, time_s=sensors.time_s[live], channels=channels)


def widest_hole(sensors: SensorLog) -> tuple[float, float]:
    """From when to when the longest time without a reading lasts, s."""
    if sensors.time_s.size < 2:
        return 0.0, 0.0
    at = int(np.argmax(np.diff(sensors.time_s)))
    return float(sensors.time_s[at]), float(sensors.time_s[at + 1])


def live_sensors(run: Features, view: CellView) -> SensorLog | None:
    """The readings of a run up to where they freeze; worked out once."""
    return view.prepared.derived(run, "live sensors", 0, lambda: _live(run, view.limits.readings))


def _live(run: Features, limits: ReadingsLimits) -> SensorLog | None:
    live = living(run.run.sensors, limits)
    return run.run.sensors if live is None and known_alive(run) else live


def known_alive(run: Features) -> bool:
    """Whether the logger was at work: the run was found by what its readings did before, after or within it.

    Readings that are all alike while a run lasts are then no sign of a dead one.
    """
    found = run.run.alignment
    return found is not None and found.how in (How.EDGES, How.COURSE)


def smoothed(values: Floats, steps: int) -> Floats:
    """The mean of each `steps` readings in a row, shape (n − steps + 1,); empty where there are fewer."""
    if values.size < steps:
        return np.empty(0)
    sums = np.concatenate(([0.0], np.cumsum(values)))
    return np.asarray((sums[steps:] - sums[:-steps]) / steps)


def stretches_of(flags: Flags, time_s: Floats) -> Iterator[tuple[float, float]]:
    """From when to when each unbroken stretch of flagged readings lasts, s."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        yield float(time_s[start]), float(time_s[min(end, time_s.size - 1)])


def usual_step_s(sensors: SensorLog) -> float:
    """The usual time between two readings, s; 0 with fewer than two."""
    return float(np.median(np.diff(sensors.time_s))) if sensors.time_s.size > 1 else 0.0


AGREED_S = 2.0
"""Loggers of one desk drift by less than this between its runs: what is off by the same is one clock."""


def off_alike(alignment: Alignment, others: Iterable[Alignment | None]) -> int:
    """How many other runs the times of day put off by as much: 0 unless there are two, and most agree.

    >>> here = Alignment(offset_s=20.0, how=How.EDGES, moved_s=47.2)
    >>> there = [Alignment(offset_s=21.0, how=How.EDGES, moved_s=s) for s in (46.9, 47.0, 300.0)]
    >>> off_alike(here, there), off_alike(here, there[1:])
    (2, 0)
    """
    if alignment.moved_s is None:
        return 0
    known = [other.moved_s for other in others if other is not None and other.moved_s is not None]
    alike = sum(abs(moved_s - alignment.moved_s) <= AGREED_S for moved_s in known)
    return alike if alike > 1 and 2 * alike > len(known) else 0


def joined(alignment: Alignment, alike: int = 0) -> str:
    """Where a run lies in its sensor log, and what told so: one sentence.

    `alike` other runs of its cell are off by as much (`off_alike`): then it is a clock, and no doubt.

    >>> plain = lambda text: text.replace("\u00a0", " ")
    >>> plain(joined(Alignment(offset_s=12.34, how=How.EDGES, score=0.9, moved_s=-3.1)))
    'The run begins 12.3 s into its sensor log, told by load edges; the times of day put it 3.1 s later.'
    >>> plain(joined(Alignment(offset_s=40.0, how=How.EDGES, score=0.9, moved_s=3600.4)))
    'The run begins 40.0 s into its sensor log, told by load edges; the two clocks live 1 h apart.'
    >>> plain(joined(Alignment(offset_s=-25.0, how=How.STATED)))
    'The run begins 25.0 s before its sensor log, told by the times of day.'
    >>> plain(joined(Alignment(offset_s=72.0, how=How.EDGES, score=0.9, moved_s=47.0), 4)).partition("; ")[2]
    "the times of day put it 47.0 s earlier, as in 4 other runs: the logger's clock is off by so much."
    """
    if alignment.how is How.WHOLE:
        return "Nothing tells where the run lies in its sensor log: the log is taken whole."
    side = "into" if alignment.offset_s >= 0 else "before"
    where = f"The run begins {amount(abs(alignment.offset_s), 1, 's')} {side} its sensor log"
    return f"{where}, told by {alignment.how.value}{_moved(alignment, alike)}."


def _moved(alignment: Alignment, alike: int) -> str:
    """How far that is from where the times of day put it."""
    if alignment.moved_s is None:
        return ""
    zone = (
        f"; the two clocks live {abs(alignment.zone_s) / 3600:g}{NO_BREAK}h apart" if alignment.zone_s else ""
    )
    rest_s = alignment.moved_s - alignment.zone_s
    if abs(rest_s) < 1:
        return zone
    word = "earlier" if rest_s > 0 else "later"
    besides = ", and besides" if zone else "; the times of day put it"
    doubt = ", so it may be another run's" if alignment.doubtful else ""
    if alike:
        doubt = f", as in {count(alike, 'other run')}: the logger's clock is off by so much"
    return f"{zone}{besides} {apart_words(rest_s)} {word}{doubt}"


def apart_words(seconds: float) -> str:
    r"""How far two times of day are apart.

    >>> apart_words(-12.3), apart_words(420.0), apart_words(259_200.0)
    ('12.3\xa0s', '7.0\xa0min', '72\xa0h')
    """
    off = abs(seconds)
    if off < 120:
        return amount(off, 1, "s")
    return amount(off / 60, 1, "min") if off < 7200 else amount(off / 3600, 0 if off >= 36_000 else 1, "h")
