"""A small invented study: its records, one import of one run, and the ground to store them on."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.runs import Run
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test
from evenhand.store.faults import save_faults
from evenhand.store.metrics import save_metrics
from evenhand.store.originals import keep
from evenhand.store.runs import save_run
from evenhand.store.shelves import save
from evenhand.store.traces import save_trace
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import pack
from evenhand.traces.trace import Trace

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)

PARTS = (
    Part(key="nimtal-6", kind="processor", name="Nimtal 6"),
    Part(key="osk-9", kind="graphics", name="Osk 9", note="loan"),
)
BUILD = Build(key="plover", name="Plover", slot=2, parts=("osk-9", "nimtal-6"), note="998 dl")
SETUP = Setup(
    key="plover-mild", name="Plover, mild tune", build="plover", stamps={"driver": "7.1", "bios": "F3"}
)
CAUSEWAY = Test(
    key="causeway",
    name="Salt Causeway",
    measures=Measures.FRAMES,
    metric="average-fps",
    unit="1/s",
    direction=Direction.HIGHER,
    stresses=("graphics", "memory"),
    settings={"resolution": "2560×1440"},
    also=("low-1",),
    group="games",
    minutes=1.5,
)
RENDER = Test(
    key="render",
    name="Night render",
    measures=Measures.SCORE,
    metric="score",
    unit="1/h",
    direction=Direction.HIGHER,
    free_length=True,
)
LAYOUT = Layout(
    fingerprint="f1",
    kind=LogKind.FRAMES,
    columns=(
        Column(header="frame [ms]", role=Role.FRAME_TIME, unit="ms"),
        Column(header="t", role=Role.ELAPSED),
    ),
    name="lab logger",
)
STUDY = Study(
    key="saltmarsh",
    title="Saltmarsh",
    setups=("plover-mild",),
    tests=("render", "causeway"),
    margin=0.025,
    ambient_c=(23.0, 26.5),
    weights={"causeway": 2.0},
)
METRICS = RunMetrics(
    values={"average-fps": 88.123456789, "low-1": 61.5},
    within_run={"average-fps": (87.5, 88.75)},
    absent={"low-0.1": "fewer than 10,000 frames"},
)
FAULT = Fault(
    kind="cap",
    title="rate capped",
    severity=Severity.IN_DOUBT,
    evidence="61 % of the run lies within 0.1 % of 143.9 fps",
    todo="switch the cap off and run again",
    numbers={"share": 0.61, "rate_fps": 143.9},
    places=(Place(from_s=3.5, to_s=9.0),),
    siblings=("r2", "r3"),
)


def run_named(name: str, **changes: object) -> Run:
    given: dict[str, object] = {
        "study": "saltmarsh",
        "test": "causeway",
        "setup": "plover-mild",
        "label": name,
    }
    return Run(id=name, **{**given, **changes})


@dataclass(frozen=True)
class Landing:
    """What one import of one run writes."""

    name: str
    log: bytes

    @property
    def digest(self) -> str:
        return hashlib.sha256(self.log).hexdigest()

    @property
    def trace(self) -> Trace:
        rng = np.random.default_rng(len(self.name) + sum(self.log[:50]))
        return Trace(frame_times_ms=np.round(rng.gamma(9.0, 1.3, 120), 3))


@contextmanager
def unguarded(conn: sqlite3.Connection) -> Iterator[sqlite3.Connection]:
    """What somebody with a database program does: triggers are off within, and stand again after."""
    guards = conn.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        conn.execute(f"DROP TRIGGER {name}")
    yield conn
    for _, sql in guards:
        conn.execute(sql)


def land(wb: Workbench, landing: Landing) -> None:
    """Stores one run with everything that belongs to it, in one transaction."""
    with wb.writing():
        keep(wb, landing.log, name=f"{landing.name}.csv", digest=landing.digest)
        save_run(
            wb, run_named(landing.name, log=landing.digest, log_layout="f1", boot="b1", order=3), now=NOW
        )
        save_trace(wb, landing.name, pack(landing.trace))
        save_metrics(wb, landing.name, METRICS, code_version="1", now=NOW)
        save_faults(wb, landing.name, [FAULT], code_version="1", now=NOW)


def lay_ground(wb: Workbench) -> None:
    """Stores all that runs refer to."""
    for record in (*PARTS, BUILD, SETUP, CAUSEWAY, RENDER, LAYOUT, STUDY):
        save(wb, record, now=NOW)


def some_log(name: str, lines: int = 40) -> bytes:
    rng = np.random.default_rng(list(name.encode()))
    return "\n".join(["frame [ms]", *(f"{value:.4f}" for value in rng.gamma(9.0, 1.3, lines))]).encode()
