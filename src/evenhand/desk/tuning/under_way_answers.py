"""Trials that run, for programs: the same keys on the command line and over HTTP."""

from __future__ import annotations

from typing import Any

from evenhand.records.under_way import UnderWay


def under_way_answer(found: UnderWay) -> dict[str, Any]:
    """A trial that runs, as it was last heard of."""
    trial = found.trial
    return {
        "key": trial.key,
        "setup": trial.setup,
        "part": trial.part,
        "clock_mhz": trial.clock_mhz,
        "voltage_mv": trial.voltage_mv,
        "load": trial.load,
        "settings": dict(trial.settings),
        "planned_h": trial.planned_h,
        "room_c": trial.room_c,
        "by": trial.by,
        "begun_at": found.begun_at.isoformat(),
        "heard_at": found.heard_at.isoformat(),
        "hours": trial.hours,
        "errors": trial.errors,
        "hottest_c": trial.hottest_c,
        "over": found.over,
        "stop": None if found.stop_at is None else {"at": found.stop_at.isoformat(), "by": found.stop_by},
    }
