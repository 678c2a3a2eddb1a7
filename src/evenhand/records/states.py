"""Where a run stands, derived from its faults and the decisions made about it."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.records.faults import Fault, Severity
from evenhand.records.runs import Decision, RunState

HOLDING = (Severity.BLOCKS, Severity.IN_DOUBT)


def holding(faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """The faults that keep a run out of findings until someone decides."""
    return tuple(fault for fault in faults if fault.severity in HOLDING)


def blocking(faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """The faults over which a run may be kept only with a note that says why."""
    return tuple(fault for fault in faults if fault.severity is Severity.BLOCKS)


def state_of(faults: Sequence[Fault], decisions: Sequence[Decision]) -> RunState:
    """The state of a run, from its present faults and its decisions in the order they were made.

    The last decision holds; one that says "landed" takes earlier ones back. A run that was kept is in
    doubt again when a fault shows that was not on show when it was kept.

    >>> state_of((), ())
    <RunState.LANDED: 'landed'>
    """
    held = {fault.kind for fault in holding(faults)}
    last = decisions[-1] if decisions else None
    if last is None or last.state in (RunState.LANDED, RunState.IN_DOUBT):
        return RunState.IN_DOUBT if held else RunState.LANDED
    if last.state is RunState.KEPT and held - set(last.over):
        return RunState.IN_DOUBT
    return last.state
