"""What became of a file that was sent, as JSON answers tell it."""

from __future__ import annotations

import math
from typing import Any

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.masking import masked_id
from evenhand.desk.bench.rigs import came_of
from evenhand.desk.bench.uploading import BESIDE, Came
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.store.workbench import Workbench

UNTOLD = "Landed. Names are hidden: the bench says what is to be decided."


def came_answer(wb: Workbench, came: Came) -> dict[str, Any]:
    """What became of a file, in plain values for programs; `words` says it in a line.

    While names are hidden neither numbers nor faults of its run are told, nor whether it waits: whoever sends
    it knows whose it is. The run goes by its masked id then.
    """
    told: dict[str, Any] = {"arrival": came.arrival.id}
    if came.before is not None:
        return {**told, **_run_answer(wb, came.before.run), "again": True, "words": came.before.words}
    if came.landed is None:
        waits = came.waits or None
        return {
            **told,
            "waits": waits,
            "words": f"It waits in the inbox: {waits}." if waits else f"{BESIDE}.",
        }
    run, faults = came.landed.run, came.landed.run.faults
    if _hidden(wb, run):
        also = [masked_id(each.run.id) for each in came.landed.also]
        words = " ".join(filter(None, (UNTOLD, came.doubt)))
        return {**told, **_run_answer(wb, run), "again": came.landed.again, "also": also, "words": words}
    words = came_of(run.state.value, came.number, tuple(fault.title for fault in faults))
    return {
        **told,
        **_run_answer(wb, run),
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


def _hidden(wb: Workbench, run: RunOnRecord) -> bool:
    return names_hidden(load_study(wb, run.run.study))


def _run_answer(wb: Workbench, run: RunOnRecord | None) -> dict[str, Any]:
    if run is None:
        return {}
    if _hidden(wb, run):
        return {"study": run.run.study, "run": masked_id(run.run.id)}
    return {
        "study": run.run.study,
        "run": run.run.id,
        "label": run.run.label,
        "state": run.state.value,
    }
