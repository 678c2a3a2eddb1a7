"""What control charts say of a machine, for some of its runs."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from evenhand.desk.on_record import RunOnRecord
from evenhand.findings.control import DAY_S
from evenhand.findings.finding import Unsteady


def unsteady_runs(found: Unsteady | None, runs: Iterable[RunOnRecord]) -> Unsteady | None:
    """The same of these runs of the machine; None where nothing is known, or none of them has a time."""
    times = [each.run.started_at.timestamp() for each in runs if each.run.started_at is not None]
    if found is None or not times:
        return None
    return replace(found, day=math.fsum(times) / len(times) / DAY_S)
