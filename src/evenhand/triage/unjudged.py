"""What triage could not see of a run, and why: silence is not a clean bill."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from statistics import stdev

from evenhand.records.faults import Fault
from evenhand.records.layouts import Role
from evenhand.records.tests import Measures
from evenhand.traces.flaws import ASSUMED_UNIT
from evenhand.traces.trace import SensorLog
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.clocks import check_clock
from evenhand.triage.coverage import uncovered
from evenhand.triage.features import Features
from evenhand.triage.kinds.background import others_of
from evenhand.triage.kinds.room import FEWEST_ROOMS
from evenhand.triage.kinds.throttling import loaded_clocks
from evenhand.triage.sensing import apart_words, frozen_from, in_role, known_alive, live_sensors, off_alike
from evenhand.triage.stamp_words import plain_stamps
from evenhand.triage.standing import has_level, headline_logs
from evenhand.triage.thresholds import DEFAULT, Thresholds
from evenhand.triage.view import CellView, look
from evenhand.triage.wording import amount, change, count, listing, moment


def unjudged(
    runs: Sequence[Candidate],
    company: Company,
    *,
    found: Mapping[str, Sequence[Fault]] | None = None,
    thresholds: Thresholds = DEFAULT,
) -> Mapping[str, tuple[str, ...]]:
    """For each run of a cell, by id, what could not be judged and why: one plain sentence each.

    `found` are the faults of each run as triage told them: a run that is held is nobody's sibling.
    """
    known = found or {}
    held = ((run.id, fault) for run in runs for fault in known.get(run.id, ()))
    view = look(runs, company, thresholds).with_found(held)
    return {run.id: tuple(said for ask in _QUESTIONS for said in ask(run, view)) for run in view.runs}


def _frames(run: Features, view: CellView) -> Iterator[str]:
    if view.company.test.measures is Measures.FRAMES and not run.frames:
        yield "Frame times, copies and held rates: the run has no frame log."


def _unit(run: Features, _view: CellView) -> Iterator[str]:
    if any(flaw.kind == ASSUMED_UNIT for flaw in run.flaws):
        yield "The unit of the frame times: neither the log nor its layout names one."


def _clock(run: Features, _view: CellView) -> Iterator[str]:
    if run.frames and check_clock(run) is None:
        yield "Lost frames and gaps: the log holds no clock beside its frame times."
    trace = run.run.trace
    if trace is not None and run.frames and trace.elapsed_s is None and not trace.derived:
        yield "Copied rows, unless the log counts its frames: it holds no clock beside its frame times."


def _copies(run: Features, view: CellView) -> Iterator[str]:
    limits = view.limits.twin
    if run.frames and run.frames - 1 < limits.fewest_frames:
        yield f"Copies: {count(run.frames, 'frame')} are too few to recognise a run by."
    elif run.frames and run.noise < limits.least_noise:
        yield "Trimmed copies: frame times that hardly differ give nothing to recognise a run by."


def _caps(run: Features, view: CellView) -> Iterator[str]:
    if run.frames and run.blocks.size < view.limits.cap.least_blocks:
        needed_s = view.limits.cap.least_blocks * run.block_s
        yield f"Held rates: the run is shorter than {amount(needed_s, 1, 's')}."


def _siblings(run: Features, view: CellView) -> Iterator[str]:
    others = len(view.runs) - 1
    what = "Level, length, course and hitches" if run.frames else "Level"
    if others == 0:
        yield f"{what}: the run has no siblings."
    elif others == 1:
        reason = "where two runs differ nobody can say which is the odd one, so none is held for it"
        yield f"{what}: {reason}{_apart(run, view)}."
    elif not view.siblings(run.id):
        yield f"{what}: all its siblings are held for something else."
    elif none_alike([r.run.headline for r in view.runs], view.limits.level.unknown_pair_gap):
        who = "three runs all" if others == 2 else "runs of this test all"
        reason = f"the {who} differ, so nobody can say what is usual, and none is held for it"
        yield f"{'Level and length' if run.frames else 'Level'}: {reason}{_apart(run, view)}."


def none_alike(headlines: Sequence[float | None], least_gap: float = DEFAULT.level.unknown_pair_gap) -> bool:
    """Whether three numbers or more all differ, so that none of them is the odd one.

    Of three no two lie within so many logs; more scatter by as much, also without the one furthest off.

    >>> none_alike([99.98, 93.13, 78.24]), none_alike([99.98, 99.1, 78.24])
    (True, False)
    >>> none_alike([123.0, 387.0, 212.0, 814.0]), none_alike([100.0, 101.0, 99.0, 814.0])
    (True, False)
    """
    logs = sorted(math.log(number) for number in headlines if number is not None and number > 0)
    if len(logs) != len(headlines) or len(logs) < 3:
        return False
    if len(logs) == 3:
        return min(logs[1] - logs[0], logs[2] - logs[1]) >= least_gap
    furthest = 0 if logs[1] - logs[0] > logs[-1] - logs[-2] else -1
    del logs[furthest]
    return stdev(logs) >= least_gap


def _apart(run: Features, view: CellView) -> str:
    """How far the numbers of two runs lie apart, for a reader to judge by."""
    others = [r for r in view.runs if r is not run and has_level(r)]
    if not others or not has_level(run):
        return ""
    own, other = headline_logs([run, others[0]])
    return f"; this one's number is {change(math.exp(own - other))} from that of {others[0].run.label}"


def _course(run: Features, view: CellView) -> Iterator[str]:
    """Faults that show along the scene, and need a stretch of it."""
    if not run.frames:
        return
    limits = view.limits
    bin_s = limits.curve.slow_bin_s if run.median_ms > limits.curve.slow_above_ms else limits.curve.bin_s
    if run.duration_s < limits.curve.fewest_bins * bin_s:
        yield f"Course: the run is shorter than {amount(limits.curve.fewest_bins * bin_s, 0, 's')}."
    elif run.duration_s < 4 * limits.sag.least_bins * bin_s:
        needed_s = 4 * limits.sag.least_bins * bin_s
        yield f"A slow sag: the run is shorter than {amount(needed_s, 0, 's')}; heat takes longer."


def _sensors(run: Features, view: CellView) -> Iterator[str]:
    sensors = run.run.sensors
    if sensors is None:
        yield f"What sensors tell: {_no_sensors(run)}."
        return
    yield from _whose(run, view)
    yield from uncovered(run, sensors, view.limits.readings)
    frozen_s = frozen_from(sensors, view.limits.readings)
    dead = frozen_s is not None and frozen_s <= sensors.time_s[0]
    if dead and not known_alive(run):
        yield "What sensors tell: no reading ever changes, so the logger was dead."
        return
    if frozen_s is not None and not dead:
        yield f"What sensors tell after {moment(frozen_s)}: from then on no reading changes any more."
    if not any(channel.role is Role.CLOCK for channel in sensors.channels):
        yield "Falling clocks: the sensor log holds no clock."
    elif not loaded_clocks(live_sensors(run, view), view.limits.throttle):
        yield "Falling clocks: no part was at load long enough while its clock was logged."
    yield from _channels(run, sensors, view)


def _whose(run: Features, view: CellView) -> Iterator[str]:
    """Whether the readings are this run's at all, where the times of day speak against it.

    Not where most of the cell is off by as much: that is the logger's clock.
    """
    found = run.run.alignment
    others = (other.run.alignment for other in view.runs if other is not run)
    if found is None or off_alike(found, others):
        return
    if found.doubtful and found.moved_s is not None:
        told, off = found.how.value, apart_words(found.moved_s)
        yield f"Whether the readings are of this run: told by {told}, {off} from where times of day put it."


def _no_sensors(run: Features) -> str:
    """Why no reading is at hand."""
    metrics = run.run.metrics
    return metrics.absent.get("sensors", "no sensor log") if metrics is not None else "no sensor log"


def _channels(run: Features, sensors: SensorLog, view: CellView) -> Iterator[str]:
    """Faults that other channels would show."""
    roles = {channel.role for channel in sensors.channels}
    lacking = [what for role, what in _CHANNELS.items() if role not in roles]
    if lacking:
        yield f"{listing(lacking).capitalize()}: the sensor log holds no such channel."
    if others_of(sensors, view) is None:
        yield "Other programs at work: the sensor log does not tell their share."
    with_power = [s for s in view.siblings(run.id) if in_role(s.run.sensors, Role.POWER)]
    if Role.POWER in roles and len(with_power) < 2:
        yield "Power below its siblings': fewer than two of them have theirs on record."


_CHANNELS = {
    Role.POWER: "power limits",
    Role.FAN: "fans",
    Role.MEMORY: "full memory",
}


def _room(run: Features, view: CellView) -> Iterator[str]:
    if run.run.ambient_c is None:
        yield "The room: no temperature on record."
        return
    told = sum(sibling.run.ambient_c is not None for sibling in view.siblings(run.id))
    if view.company.ambient_c is None and told < FEWEST_ROOMS:
        yield "The room: the study declares no range, and fewer than two siblings have theirs on record."


def _stamps(run: Features, view: CellView) -> Iterator[str]:
    """Stamps that the test declares or another run of the cell carries, and this one does not."""
    declared = plain_stamps({"version": view.company.test.version, **view.company.test.settings})
    known = {name for other in view.runs for name in plain_stamps(other.run.stamps)} | declared.keys()
    judged = {*view.limits.stamps.blocking, *view.limits.stamps.doubtful, *declared}
    lacking = sorted((known & judged) - plain_stamps(run.run.stamps).keys())
    if lacking:
        yield f"Stamps: the run does not say its {listing(lacking)}."


_QUESTIONS: tuple[Callable[[Features, CellView], Iterator[str]], ...] = (
    _frames,
    _unit,
    _clock,
    _copies,
    _caps,
    _siblings,
    _course,
    _sensors,
    _room,
    _stamps,
)
