"""A small tuned part on the workbench of the small study, and trials of it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from tests.desk.small_folder import NOW

from evenhand.desk.tuning.noting import note_limit, note_trial, note_tuned
from evenhand.records.trials import Limit, Trial, Tuned
from evenhand.store.workbench import Workbench

TUNED = {
    "setup": "wren", "part": "processor", "stock_clock_mhz": 5000.0, "stock_voltage_mv": 1050.0,
    "clock_step_mhz": 50.0, "voltage_step_mv": 5.0, "hottest_room_c": 24.0,
}  # fmt: skip
LIMIT = {"quantity": "voltage", "most": 1250.0, "source": "Brellow K6, data sheet, page 14"}
TRIAL = {
    "setup": "wren", "part": "processor", "clock_mhz": 5000.0, "voltage_mv": 1050.0, "load": "integers",
    "hours": 1 / 6, "outcome": "passed", "room_c": 24.0,
}  # fmt: skip


def walked() -> Iterable[dict[str, Any]]:
    """A walk over two clocks, each down to where it fails."""
    for step in range(9):
        yield {**TRIAL, "voltage_mv": 1050.0 - 5 * step}
    for voltage, hours in ((1005.0, 0.12), (1000.0, 0.05), (995.0, 0.02)):
        yield {**TRIAL, "voltage_mv": voltage, "hours": hours, "outcome": "crash"}
    yield {**TRIAL, "voltage_mv": 1025.0, "clock_mhz": 5050.0}
    for voltage, hours in ((1020.0, 0.1), (1015.0, 0.03), (1010.0, 0.01)):
        yield {**TRIAL, "voltage_mv": voltage, "hours": hours, "outcome": "crash", "clock_mhz": 5050.0}


def lay_part(wb: Workbench, **changes: Any) -> Tuned:
    """The part on record, with the limit of its maker."""
    part = note_tuned(wb, {**TUNED, **changes}, now=NOW)
    lay_limit(wb)
    return part


def lay_limit(wb: Workbench, **changes: Any) -> Limit:
    return note_limit(wb, "wren", "processor", {**LIMIT, **changes}, now=NOW, today=NOW.date())


def tried(wb: Workbench, given: Iterable[dict[str, Any]]) -> list[Trial]:
    """Trials on record."""
    return [note_trial(wb, each, now=NOW + timedelta(hours=1)).trial for each in given]
