"""What a picture of one fault shows: the forms in which triage exhibits it, and whose they are.

Arrays come ready from triage (`evenhand.triage.exhibits.forms`); nothing is worked out here. Times are
seconds of the run's own clock; a place of the fault is marked through every view that has time to the right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from evenhand.records.faults import Fault
from evenhand.triage.exhibits.forms import Below, Differences, Moments, Readings, Traces

OverTime: TypeAlias = Traces | Differences | Readings | Moments


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One fault of one run, and what lets a person check it: its trace, a second view below, or both.

    `readings` are drawn in the place of the trace.

    `test` and `setup` are keys of the names, `run` is the run's label; `setups` gives the setup of each run
    of the test by id, for the numbers of other setups. The fault gives the sentence on top (its title), the
    sentence at the foot (its evidence), the places that are marked in every view over time, and whether they
    are marked in red (a note is not).
    """

    test: str
    setup: str
    run: str
    fault: Fault
    trace: Traces | None = None
    readings: Readings | None = None
    below: Below | None = None
    setups: Mapping[str, str] = field(default_factory=dict)
