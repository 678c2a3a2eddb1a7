"""The Saltmarsh example on an open workbench: raw logs made, imported like anyone's, judged."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from evenhand.desk.logs.importing import import_folder
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

EXAMPLE = "saltmarsh"

Watch = Callable[[int, int, str], None]


def has_example(wb: Workbench) -> bool:
    """Whether the example is on this workbench."""
    return any(study.key == EXAMPLE for study in shelves.every(wb, Study))


def make_example(wb: Workbench, *, now: datetime, watch: Watch) -> str:
    """The example with its planted faults found and nothing decided; the study's key.

    `watch` may raise to stop: what was brought in by then stays, and making it again goes on from there.
    """
    from evenhand.desk.demonstrating import write_raw  # all of the example, for those who ask for it

    with tempfile.TemporaryDirectory(prefix="saltmarsh-") as folder:
        raw = Path(folder) / "study"
        watch(0, 1, "making the logs")
        write_raw(raw)
        return import_folder(wb, raw, now=now, watch=watch).study
