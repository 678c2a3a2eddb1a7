"""What became of a file that was sent, as JSON answers tell it."""

from __future__ import annotations

import math
from typing import Any

from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.rigs import came_of
from evenhand.desk.uploading import BESIDE, Came


def came_answer(came: Came) -> dict[str, Any]:
    """What became of a file, in plain values for programs; `words` says it in a line."""
    told: dict[str, Any] = {"arrival": came.arrival.id}
    if came.before is not None:
        return {**told, **_run_answer(came.before.run), "again": True, "words": came.before.words}
    if came.landed is None:
        waits = came.waits or None
        return {
            **told,
            "waits": waits,
            "words": f"It waits in the inbox: {waits}." if waits else f"{BESIDE}.",
        }
    run, faults = came.landed.run, came.landed.run.faults
    words = came_of(run.state.value, came.number, tuple(fault.title for fault in faults))
    return {
        **told,
        **_run_answer(run),
        "again": came.landed.again,
        "also": [each.run.id for each in came.landed.also],
        "numbers": {key: value for key, value in run.metrics.values.items() if math.isfinite(value)},
        "faults": [
            {
                "kind": fault.kind,
                "title": fault.title,
                "severity": fault.severity.value,
                "evidence": fault.evidence,
                "todo": fault.todo,
            }
            for fault in faults
        ],
        "words": " ".join(filter(None, (words, came.doubt))),
    }


def _run_answer(run: RunOnRecord | None) -> dict[str, Any]:
    if run is None:
        return {}
    return {
        "study": run.run.study,
        "run": run.run.id,
        "label": run.run.label,
        "state": run.state.value,
    }
