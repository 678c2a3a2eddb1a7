"""Files that come in by themselves, for the tests of landing, of the inbox and of uploads."""

from __future__ import annotations

from typing import Any

from tests.desk.small_folder import LATER, frame_log, frames

from evenhand.desk.bench.landing import Filing, Landed, arrive, land
from evenhand.records.plans import Arrival
from evenhand.store.workbench import Workbench

STUDY = "quay"


def log(seed: int = 44, *, fps: float = 100.0, header: str = "t [s],frame [ms]") -> bytes:
    """A frame log that no run of the small study has."""
    return frame_log(frames(fps, seed=seed), header=header)


def come_in(wb: Workbench, data: bytes, name: str = "causeway.csv", **about: str) -> Arrival:
    return arrive(wb, data, name=name, by="folder", about=about, now=LATER)


def filing(test: str = "causeway", setup: str = "wren", **more: Any) -> Filing:
    return Filing(**{"study": STUDY, "test": test, "setup": setup, **more})


def landed(wb: Workbench, data: bytes, *, name: str = "causeway.csv", **more: Any) -> Landed:
    return land(wb, come_in(wb, data, name), filing(**more), by="folder", now=LATER)
