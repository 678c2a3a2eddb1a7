"""Restarts that were only rehearsed: the runs' stamps say so, and so does whatever speaks of their boots."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.publish.numbers import counted, number
from evenhand.triage.warm_up import StudyNote

RESTARTS = "restarts"  # the stamp; the rig program writes it
REHEARSED = "rehearsed"  # how its value begins


def was_rehearsed(each: RunOnRecord) -> bool:
    """Whether the machine was not restarted for the boot of this run."""
    return each.run.stamps.get(RESTARTS, "").startswith(REHEARSED)


def without_restart(runs: Sequence[RunOnRecord]) -> str:
    """What to add where the boots of runs are counted; "" where none of them was only rehearsed."""
    rehearsed = sum(map(was_rehearsed, runs))
    if not rehearsed:
        return ""
    return ", for which no machine was restarted" if rehearsed == len(runs) else ", some without a restart"


def rehearsed_starts(record: StudyOnRecord) -> StudyNote | None:
    """The caveat that boots on record were only rehearsed; None where none of the counting runs was."""
    counting = [each for each in record.compared_runs if each.state.counts]
    rehearsed = sum(map(was_rehearsed, counting))
    if not rehearsed:
        return None
    told = f"{counted(rehearsed, 'run')} of the {number(len(counting))} that count"
    return StudyNote(
        kind="restarts-rehearsed",
        title="Restarts were only rehearsed",
        evidence=f"For {told} no machine was restarted: their boots on record stand for no true starts.",
        todo="What a restart changes is in no interval here: take boots for blocks of time, not for starts.",
        numbers={"runs": float(rehearsed), "counting": float(len(counting))},
    )
