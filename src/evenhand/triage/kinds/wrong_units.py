"""Frame times that are not milliseconds."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.records.faults import Fault, Severity
from evenhand.triage.clocks import only_rises
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import UnitLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount

KIND = "wrong-units"


def wrong_units(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run by its median frame time alone: no screen runs at thousands of frames a second.

    What only rises is a clock, and no other unit makes frame times of it.
    """
    for run in view.runs:
        found = meant(run.median_ms, view.limits.units)
        if found and not only_rises(run, view.limits.rows):
            yield run.id, _fault(run, *found)


def meant(median_ms: float, limits: UnitLimits) -> tuple[str, float] | None:
    """The unit the numbers are in, and the factor that makes them milliseconds."""
    if median_ms < limits.seconds_below_ms:
        return "seconds", 1e3
    if median_ms > limits.nano_above_ms:
        return "nanoseconds", 1e-6
    if median_ms > limits.micro_above_ms:
        return "microseconds", 1e-3
    return None


def _fault(run: Features, unit: str, factor: float) -> Fault:
    read = amount(run.median_ms, 4 if run.median_ms < 1 else 0, "ms")
    return Fault(
        kind=KIND,
        title="Frame times in another unit",
        severity=Severity.BLOCKS,
        evidence=(
            f"The median frame time reads as {read}; as {unit} it would be "
            f"{amount(run.median_ms * factor, 2, 'ms')}."
        ),
        todo=f"Set the unit of the frame-time column to {unit} and read the log again.",
        numbers={"median_ms": run.median_ms, "median_if_meant_ms": run.median_ms * factor},
    )
