"""Cells to judge: good runs of one scripted scene, and small ways to spoil one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Role
from evenhand.records.tests import Direction, Measures, Test
from evenhand.traces.trace import Channel, SensorLog, Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.triage import triage_cell

Floats = npt.NDArray[np.float64]

GAME = Test(
    key="causeway",
    name="Salt Causeway",
    measures=Measures.FRAMES,
    metric="fps",
    unit="fps",
    direction=Direction.HIGHER,
)
WORK = Test(
    key="render",
    name="Night render",
    measures=Measures.SCORE,
    metric="score",
    unit="jobs/h",
    direction=Direction.HIGHER,
)
STUDY = tuple((0.012**2 * factor, 4.0) for factor in (0.4, 0.7, 0.9, 1.1, 1.3, 1.8))
ALONE = Company(test=GAME, study_spread=STUDY)


def take(
    seed: int, *, fps: float = 100.0, seconds: float = 30.0, noise: float = 0.03, still: bool = False
) -> Floats:
    """Frame times of one good take, in ms: the scene is the same for every seed, the noise is not."""
    rng = np.random.default_rng(seed)
    n = round(fps * seconds)
    at = np.arange(n) / fps
    scene = 0.0 if still else 0.10 * np.sin(at / 1.9) + 0.05 * np.sin(at / 0.61 + 1)
    return np.round(np.exp(np.log(1000 / fps) + scene + noise * rng.standard_normal(n)), 4)


def run(name: str, times_ms: Floats, **more: Any) -> Candidate:
    """A frame run with a clock beside its frame times."""
    clock = np.cumsum(np.concatenate(([0.0], times_ms[:-1]))) / 1000
    total = float(np.nansum(times_ms))
    headline = 1000 * times_ms.size / total if total else None
    known = {"headline": headline, "trace": trace(times_ms, clock)}
    return Candidate(id=name, label=f"run {name}", **(known | more))


def trace(times_ms: Floats, clock_s: Floats | None) -> Trace:
    return Trace(frame_times_ms=times_ms, elapsed_s=clock_s)


def cell(n: int = 5, **how: Any) -> tuple[Candidate, ...]:
    """n good runs."""
    return tuple(run(str(i + 1), take(100 + i, **how)) for i in range(n))


def scores(*values: float, **more: Any) -> tuple[Candidate, ...]:
    """Score runs."""
    return tuple(
        Candidate(id=str(i + 1), label=f"run {i + 1}", headline=v, **more) for i, v in enumerate(values)
    )


def with_first(runs: Sequence[Candidate], spoilt: Candidate) -> tuple[Candidate, ...]:
    """The cell with its first run replaced."""
    return (spoilt, *runs[1:])


def stamped(runs: Sequence[Candidate], *stamps: Mapping[str, str]) -> tuple[Candidate, ...]:
    """The runs with these stamps, one mapping a run."""
    return tuple(replace(r, stamps=s) for r, s in zip(runs, stamps, strict=True))


def clock_log(clock_mhz: Floats, *, load_pct: float | Floats = 98.0, step_s: float = 1.0) -> SensorLog:
    """A processor's clock and load."""
    load = np.broadcast_to(np.asarray(load_pct, float), clock_mhz.shape)
    return SensorLog(
        time_s=np.arange(clock_mhz.size) * step_s,
        channels=(
            Channel(role=Role.CLOCK, about="processor", unit="MHz", values=clock_mhz),
            Channel(role=Role.LOAD, about="processor", unit="%", values=load),
        ),
    )


def judge(runs: Sequence[Candidate], company: Company = ALONE) -> dict[str, tuple[Fault, ...]]:
    return dict(triage_cell(runs, company))


def kinds(faults: Sequence[Fault]) -> set[str]:
    """All kinds found."""
    return {f.kind for f in faults}


def held(found: Mapping[str, Sequence[Fault]]) -> set[str]:
    """Ids of runs that some fault holds."""
    return {i for i, faults in found.items() if any(f.severity is not Severity.NOTE for f in faults)}


def only(faults: Sequence[Fault], kind: str) -> Fault:
    """The one fault of this kind."""
    (fault,) = [f for f in faults if f.kind == kind]
    return fault


def plain(text: str) -> str:
    """A sentence with ordinary spaces."""
    return text.replace("\u00a0", " ")
