"""The control chart of the anchor: whether the bench itself stayed as it was."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.measured import is_usable
from evenhand.findings.outcomes import from_log
from evenhand.stats.charts import DRIFTS, FEWEST, Drift, drift, self_started

DAY_S = 86_400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One bench day of the anchor: when, under which conditions (driver, version), and its cell."""

    at: datetime
    cell: Cell
    under: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One session on the chart: geometric mean of its runs in the metric's unit, and its limits."""

    at: datetime
    value: float
    centre: float | None
    low: float | None
    high: float | None
    outside: bool
    runs: int
    under: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """The anchor in one test over time, under one set of conditions.

    `drift_a_day`, with its interval, are ratios a day, better above 1; None before four sessions.
    `drifts`: `drift_p`, that of none, is below .01.
    """

    test: str
    anchor: str
    under: str
    marks: tuple[Mark, ...]
    drift_a_day: float | None = None
    drift_low: float | None = None
    drift_high: float | None = None
    drift_p: float | None = None
    drifts: bool = False
    caveats: tuple[Caveat, ...] = ()


def control_charts(sessions: Sequence[Session]) -> tuple[Control, ...]:
    """One chart for each test, anchor and set of conditions: none crosses a change.

    Mean logs of sessions, larger is better, in order of time (`stats.charts.self_started`, `drift`). Sessions
    without usable runs are left out.
    """
    groups: dict[tuple[str, str, str], list[Session]] = {}
    for session in sorted(sessions, key=lambda s: s.at):
        if is_usable(session.cell):
            groups.setdefault((session.cell.test, session.cell.setup, session.under), []).append(session)
    return tuple(_chart(*place, members) for place, members in groups.items())


def _chart(test: str, anchor: str, under: str, sessions: Sequence[Session]) -> Control:
    sign = -1.0 if sessions[0].cell.better == "lower" else 1.0
    logs = [sign * _mean_log(session.cell) for session in sessions]
    marks = tuple(
        Mark(
            at=session.at, value=_rate(judged.value, sign) or 0.0, centre=_rate(judged.centre, sign),
            low=_rate(judged.low if sign > 0 else judged.high, sign),
            high=_rate(judged.high if sign > 0 else judged.low, sign),
            outside=judged.outside, runs=len(session.cell.observations), under=session.under,
        )
        for session, judged in zip(sessions, self_started(logs), strict=True)
    )  # fmt: skip
    days = [(s.at - sessions[0].at).total_seconds() / DAY_S for s in sessions]
    found = drift(logs, days)
    bare = Control(test=test, anchor=anchor, under=under, marks=marks, caveats=tuple(_caveats(marks, found)))
    return bare if found is None else _with_drift(bare, found)


def _mean_log(cell: Cell) -> float:
    return math.fsum(math.log(o.value) for o in cell.observations) / len(cell.observations)


def _rate(log: float | None, sign: float) -> float | None:
    return None if log is None else from_log(sign * log)


def _with_drift(bare: Control, found: Drift) -> Control:
    return replace(
        bare, drift_a_day=from_log(found.slope), drift_low=from_log(found.low),
        drift_high=from_log(found.high), drift_p=found.p, drifts=found.p < DRIFTS,
    )  # fmt: skip


def _caveats(marks: Sequence[Mark], found: Drift | None) -> list[Caveat]:
    """What the chart says in words: too short, outside, drifting."""
    told = []
    if len(marks) <= FEWEST:
        words = f"no limits before there are {FEWEST + 1} bench days: the anchor has {len(marks)}"
        told.append(Caveat(key="short-chart", words=words))
    outside = sum(mark.outside for mark in marks)
    if outside:
        lie, them = ("lies", "it") if outside == 1 else ("lie", "them")
        words = f"{outside} of {len(marks)} bench days {lie} outside what those before {them} allow"
        told.append(Caveat(key="outside", words=words))
    if found is not None and found.p < DRIFTS:
        way = "better" if found.slope > 0 else "worse"
        told.append(Caveat(key="drift", words=f"the anchor drifts: it reads {way} from day to day"))
    return told
