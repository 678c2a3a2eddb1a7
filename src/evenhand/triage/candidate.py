"""What triage looks at: one run with all that is known of it, and the company it is judged in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.metrics.alignment import Alignment
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.tests import Test
from evenhand.traces.trace import Flaw, SensorLog, Trace
from evenhand.triage.learned import NOTHING, Learned


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One run under triage.

    `headline` is the test's headline number (average FPS or score). `stamps` are the run's own words
    on driver, os, version, settings. `log_sha256` is the hash of its original bytes. `boot` and `order` are
    the boot it belongs to and its place in the order of the day, where on record. `sensors` are the readings
    taken while it lasted, their time counted from its start, and `alignment` what told which those are. Where
    only a window of the log is measured, `trace` and `sensors` are of that, and `whole` holds every frame;
    `cut_alone` says that its siblings are measured in another one, for a reason that was given.
    """

    id: str
    label: str
    headline: float | None
    trace: Trace | None = None
    whole: Trace | None = None
    cut_alone: bool = False
    sensors: SensorLog | None = None
    alignment: Alignment | None = None
    metrics: RunMetrics | None = None
    stamps: Mapping[str, str] = field(default_factory=dict)
    ambient_c: float | None = None
    log_sha256: str | None = None
    boot: str | None = None
    order: int | None = None
    flaws: tuple[Flaw, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Company:
    """Whom a cell's runs are judged against.

    `test` declares what is on purpose (locked rate, free length). `peers` are the same test's runs on
    other setups, one tuple a setup. `ambient_c` is the room temperature range of the study.
    `study_spread` is what the study knows of run-to-run spread: (variance of the log headline, degrees
    of freedom) for each of its other cells; `learned` what earlier studies know of this test.
    """

    test: Test
    peers: tuple[tuple[Candidate, ...], ...] = ()
    ambient_c: tuple[float, float] | None = None
    study_spread: tuple[tuple[float, float], ...] = ()
    learned: Learned = NOTHING
