"""Triage of one cell: every run of one test on one setup, judged together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.records.faults import Fault
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.kinds.background import background_load
from evenhand.triage.kinds.bad_frames import bad_frames
from evenhand.triage.kinds.cap import rate_cap
from evenhand.triage.kinds.course import course_of_run
from evenhand.triage.kinds.fan import fan_failure
from evenhand.triage.kinds.frame_scatter import frame_scatter
from evenhand.triage.kinds.hitches import extra_hitches
from evenhand.triage.kinds.length import length
from evenhand.triage.kinds.level import odd_level
from evenhand.triage.kinds.memory_full import memory_full
from evenhand.triage.kinds.not_frames import not_frames
from evenhand.triage.kinds.power_limit import power_limit
from evenhand.triage.kinds.reading import reading
from evenhand.triage.kinds.room import room
from evenhand.triage.kinds.screen_steps import screen_steps
from evenhand.triage.kinds.slipped_clock import slipped_clock
from evenhand.triage.kinds.stamps import mixed_stamps, other_settings
from evenhand.triage.kinds.throttling import throttling
from evenhand.triage.kinds.too_short import too_short
from evenhand.triage.kinds.truncated import truncated
from evenhand.triage.kinds.twin import twin
from evenhand.triage.kinds.wrong_units import wrong_units
from evenhand.triage.one_cause import cause_first
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT, Thresholds
from evenhand.triage.view import Detector, look

# Order matters: whatever is found on a run by itself keeps it out of the siblings that later detectors use.
DETECTORS: tuple[Detector, ...] = (
    wrong_units,
    bad_frames,
    not_frames,
    too_short,
    slipped_clock,
    truncated,
    reading,
    other_settings,
    mixed_stamps,
    twin,
    throttling,
    fan_failure,
    memory_full,
    power_limit,
    background_load,
    room,
    screen_steps,
    rate_cap,
    length,
    course_of_run,
    extra_hitches,
    frame_scatter,
    odd_level,
)


def triage_cell(
    runs: Sequence[Candidate],
    company: Company,
    *,
    thresholds: Thresholds = DEFAULT,
    prepared: Prepared | None = None,
) -> Mapping[str, tuple[Fault, ...]]:
    """The faults of each run of one cell, by run id; an empty tuple where nothing was found.

    `runs` are all runs of one test on one setup in the order they were made; leave out what has been set
    aside, and call again after a run was. Pure: nothing is changed, nothing decided.
    `prepared` spares work where several cells of one test are judged: pass one made for `thresholds` to all.
    """
    view = look(runs, company, thresholds, prepared)
    for detector in DETECTORS:
        view = view.with_found(list(detector(view)))
        view.prepared.let_go()
    return {run: cause_first(faults, thresholds.length) for run, faults in view.found.items()}
