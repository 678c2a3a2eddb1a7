"""One cell for every kind of fault, its first run spoilt so that the kind is found in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from tests.triage import cells as c
from tests.triage import sensed as s

from evenhand.records.faults import Fault
from evenhand.records.layouts import Role
from evenhand.traces import flaws as f
from evenhand.traces.trace import Flaw, SensorLog
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.exhibits.by_kind import as_judged, exhibit
from evenhand.triage.exhibits.forms import Exhibit
from evenhand.triage.triage import triage_cell

Runs = tuple[Candidate, ...]

BESIDE_A_PEER = replace(c.ALONE, peers=(tuple(c.run(f"w{i}", c.take(300 + i, fps=92)) for i in range(4)),))
AT_1080 = replace(c.ALONE, test=replace(c.GAME, settings={"resolution": "1920x1080"}))
LOCKED = replace(c.ALONE, test=replace(c.GAME, locked_fps=120.0))
SCORES = replace(c.ALONE, test=c.WORK)
COOL = replace(c.ALONE, ambient_c=(21.0, 27.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A cell, its company, the kind that is found in its first run, and how that is shown."""

    kind: str
    make: Callable[[], Runs]
    company: Company = c.ALONE


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shown:
    """A case judged: its runs, the fault, and what there is to see of it."""

    runs: Runs
    company: Company
    fault: Fault
    exhibit: Exhibit


@cache
def shown(name: str) -> Shown:
    """Judge a case as the program does, and take what it shows of the kind."""
    case = CASES[name]
    runs = case.make()
    fault = c.only(triage_cell(runs, case.company)["1"], case.kind)
    view = as_judged(runs, case.company, of=("1", case.kind))
    found = exhibit(view, "1", fault)
    assert found is not None
    return Shown(runs=runs, company=case.company, fault=fault, exhibit=found)


def spoilt(times_ms: c.Floats, **more: object) -> Runs:
    return c.with_first(c.cell(), c.run("1", times_ms, **more))


def clocked(change: Callable[[c.Floats], c.Floats], every: int = 1) -> Runs:
    """The first run with another clock beside its frames, and only some of its rows."""
    times = c.take(100)
    clock = np.cumsum(np.concatenate(([0.0], times[:-1]))) / 1000
    return spoilt(times[::every], trace=c.trace(times[::every], change(clock)[::every]))


def with_bad_rows() -> Runs:
    times = c.take(100)
    times[[1200, 1201, 2000]] = 0.0, np.nan, -3.0
    return spoilt(times)


def flawed(*flaws: Flaw) -> Runs:
    runs = c.cell()
    trace = runs[0].trace
    assert trace is not None
    return c.with_first(runs, replace(runs[0], flaws=flaws, trace=replace(trace, flaws=flaws)))


def stamped() -> Runs:
    return c.stamped(c.cell(), {"driver": "31.6", "os": "9.2"}, *[{"driver": "31.4", "os": "9.1"}] * 4)


def at_another_resolution() -> Runs:
    return c.stamped(c.cell(), {"resolution": "1600 × 900"}, *[{"resolution": "1920 × 1080"}] * 4)


def in_rooms(first_c: float) -> Runs:
    return tuple(
        replace(r, ambient_c=first_c if r.id == "1" else 23.0 + i / 3) for i, r in enumerate(c.cell())
    )


def capped() -> Runs:
    rng = np.random.default_rng(3)
    return spoilt(np.maximum(c.take(100), 10.0 * np.exp(0.0005 * rng.standard_normal(3000))))


def on_a_screen() -> Runs:
    rng, period = np.random.default_rng(1), 1000 / 144
    waits = np.ceil(c.take(100, fps=130) / period) * period * (1 + 0.003 * rng.standard_normal(3900))
    return c.with_first(c.cell(fps=130), c.run("1", waits))


def hitching() -> Runs:
    times = c.take(100)
    times[np.random.default_rng(4).choice(np.arange(300, 2900), 20, replace=False)] *= 6
    return spoilt(times)


def slower(first: int, last: int, by: float) -> Runs:
    times = c.take(100)
    times[first:last] *= by
    return spoilt(times)


def crawling() -> Runs:
    """Forty frames of a tenth of a second put in among as many as its siblings have: few bins know them."""
    good = c.take(1)
    return c.with_first(
        c.cell(), c.run("1", np.concatenate((good[:1500], np.full(40, 100.0), good[1500:-40])))
    )


def pausing() -> Runs:
    times = c.take(100)
    times[1500] = 3200.0
    return spoilt(times)


def late() -> Runs:
    """Takes of 30 s of a scene that goes on, the first begun 4 s late."""
    takes = [c.take(200 + i, seconds=36) for i in range(5)]
    return tuple(c.run(str(i + 1), t[400:3400] if i == 0 else t[:3000]) for i, t in enumerate(takes))


def elsewhere() -> Runs:
    at, rng = np.arange(3000) / 100, np.random.default_rng(9)
    scene = 0.12 * np.cos(at / 1.1) + 0.07 * np.sin(at / 0.4)
    return spoilt(10 * np.exp(scene + 0.03 * rng.standard_normal(3000)))


def machines(**first: float | c.Floats) -> Runs:
    """Takes as long as their sensor logs; the first machine reads otherwise."""
    logs = (s.machine(1, **first), *(s.machine(10 * i) for i in range(2, 6)))
    takes = (c.take(100 + i, seconds=s.SECONDS) for i in range(5))
    return tuple(
        c.run(str(i), take, sensors=log)
        for i, (take, log) in enumerate(zip(takes, logs, strict=True), start=1)
    )


def read(role: Role, values: c.Floats, about: str, unit: str) -> SensorLog:
    channel = s.channel(role, values, about, unit)
    return SensorLog(time_s=np.arange(float(values.size)), channels=(channel,))


def memory_filled() -> Runs:
    runs = []
    for i in range(5):
        times = c.take(100 + i, seconds=s.SECONDS)
        if i == 0:
            times[np.random.default_rng(5).choice(np.arange(7500, 11900), 25, replace=False)] *= 6
        use = np.minimum(4000 + (140 if i == 0 else 60) * np.arange(float(s.SECONDS)), 11800)
        runs.append(c.run(str(i + 1), times, sensors=read(Role.MEMORY, use, "graphics memory", "MiB")))
    return tuple(runs)


def loaded() -> Runs:
    runs = []
    for i in range(5):
        share = 2 + np.random.default_rng(i).random(30)
        if i == 0:
            share[12:20] += 35
        runs.append(c.run(str(i + 1), c.take(100 + i), sensors=read(Role.LOAD, share, "other programs", "%")))
    return tuple(runs)


SHORT_ROWS = Flaw(kind=f.SHORT_ROW, detail="lines 14, 200, 201 and 9 more", line=14, count=12)

CASES: Mapping[str, Case] = {
    "seconds": Case(kind="wrong-units", make=lambda: spoilt(c.take(100) / 1000)),
    "microseconds": Case(kind="wrong-units", make=lambda: spoilt(c.take(100) * 1000)),
    "bad rows": Case(kind="bad-frame-times", make=with_bad_rows),
    "gap": Case(
        kind="slipped-clock", make=lambda: clocked(lambda at: at + 0.6 * (np.arange(at.size) >= 1500))
    ),
    "samples": Case(kind="not-frames", make=lambda: clocked(lambda at: at, every=4)),
    "cut": Case(
        kind="truncated",
        make=lambda: flawed(Flaw(kind=f.SHORT_LAST_ROW, detail="line 3,002", line=3002)),
    ),
    "damaged": Case(kind="damaged-log", make=lambda: flawed(SHORT_ROWS)),
    "copy": Case(kind="twin", make=lambda: spoilt(c.take(101)[200:])),
    "settings": Case(kind="other-settings", make=at_another_resolution, company=AT_1080),
    "stamps": Case(kind="mixed-stamps", make=stamped),
    "room": Case(kind="room", make=lambda: in_rooms(29.6), company=COOL),
    "room, undeclared": Case(kind="room", make=lambda: in_rooms(29.6)),
    "brief": Case(kind="too-short", make=lambda: spoilt(c.take(100)[:200])),
    "all brief": Case(
        kind="too-short", make=lambda: tuple(c.run(str(i), c.take(i)[:200]) for i in range(1, 6))
    ),
    "short": Case(kind="length", make=lambda: spoilt(c.take(100)[:2300])),
    "cap": Case(kind="rate-cap", make=capped, company=BESIDE_A_PEER),
    "unlocked": Case(kind="lock-missed", make=c.cell, company=LOCKED),
    "screen": Case(kind="screen-steps", make=on_a_screen),
    "level": Case(kind="odd-level", make=lambda: spoilt(c.take(100) * 1.09), company=BESIDE_A_PEER),
    "level of two": Case(kind="odd-level", make=lambda: spoilt(c.take(100) * 1.2)[:2]),
    "score": Case(kind="odd-level", make=lambda: c.scores(88, 99, 100, 101, 100.4), company=SCORES),
    "hitches": Case(kind="extra-hitches", make=hitching),
    "scatter": Case(
        kind="frame-scatter", make=lambda: spoilt(c.take(100, noise=0.075)), company=BESIDE_A_PEER
    ),
    "stretch": Case(kind="slow-stretch", make=lambda: slower(1200, 1500, 1.5)),
    "crawl": Case(kind="slow-stretch", make=crawling),
    "pause": Case(kind="slow-stretch", make=pausing),
    "sag": Case(kind="slow-sag", make=lambda: spoilt(c.take(100) * np.exp(np.linspace(0, 0.08, 3000)))),
    "late": Case(kind="late-start", make=late),
    "elsewhere": Case(kind="wrong-scene", make=elsewhere),
    "throttled": Case(kind="throttling", make=lambda: machines(clock=s.from_second(60, 2600, 2200))),
    "power": Case(kind="power-limit", make=lambda: machines(power=150.0, clock=2200.0)),
    "fan": Case(
        kind="fan-failure",
        make=lambda: machines(fan=s.from_second(60, 1500, 0), temperature=s.from_second(65, 66, 88)),
    ),
    "memory": Case(kind="memory-full", make=memory_filled),
    "loaded": Case(kind="background-load", make=loaded),
}
