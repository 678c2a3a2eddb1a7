"""Keep the workbench safe: copy it while in use, look it over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from evenhand.desk.opening import default_place
from evenhand.store import upkeep
from evenhand.store.upkeep import CheckReport
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]


def back_up(wb: Workbench, target: Path, *, watch: Watch | None = None) -> int:
    """A whole copy at `target`; its size in bytes. Raises StoreProblem where something is there already."""
    upkeep.backup(wb, target, progress=told(watch, "pages"))
    return target.stat().st_size


def check_workbench(path: Path | None, *, watch: Watch | None = None) -> CheckReport:
    """What is wrong with a workbench, if anything. It is opened for reading only."""
    return upkeep.check(path or default_place(), progress=told(watch, "originals and traces"))


def told(watch: Watch | None, what: str) -> upkeep.Progress | None:
    """A watch that names its work, as the store calls it."""
    return None if watch is None else lambda done, total: watch(done, total, what)
