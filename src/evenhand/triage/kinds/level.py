"""A run whose level stands apart from all its siblings: in its headline number, or all along the scene."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.records.faults import Fault, Severity
from evenhand.stats.leave_out import leave_one_out, leave_two_out
from evenhand.triage.course_and_level import course_explains
from evenhand.triage.features import Features
from evenhand.triage.limits.levels import LevelLimits
from evenhand.triage.standing import (
    Along,
    Beside,
    Standing,
    along_scene,
    beside,
    has_level,
    headline_logs,
    standing,
)
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, chance, change, listing, share, span

KIND = "odd-level"
_EXPLAINED = ("wrong-units", "not-frames", "twin", "rate-cap", "lock-missed", "screen-steps", "throttling",
    "power-limit", "fan-failure", "memory-full", "wrong-scene")  # fmt: skip
_AVERAGE_WITHIN = (
    0.01  # ln: by this much a log's own average may differ from a headline that is meant to be it
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far one run stands off, in logs: mean and smallest agreed gap, spread, df, two-sided p.

    `course` says whether the gap was seen along the scene and not in the headline. `along` is the gap
    along the scene where that is known, `elsewhere` that the scene does not show the headline's gap.
    `beside` are siblings that stand apart as well and were left out.
    """

    gap: float
    agreed: float
    spread: float
    df: float
    p: float
    course: bool = False
    along: float | None = None
    elsewhere: bool = False
    beside: tuple[Features, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Company:
    """Runs that are each other's siblings, on one measure; `outside` is what else is known of its spread."""

    runs: tuple[Features, ...]
    logs: npt.NDArray[np.float64]
    outside: Beside
    peers: bool
    course: npt.NDArray[np.float64] | None = None
    course_outside: Beside | None = None


def odd_level(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run's level against its unheld siblings by the guarded moderated rule.

    Not judged: runs held for something that explains their level. Not held again: runs whose course explains
    it, since outside of what that is held for they are on the level. Of two runs nobody can say which is
    odd: both get a note. Two odd runs among five or more are looked for as a pair.
    """
    held = {view.held[run.id] for run in view.runs}
    judged = {run: fault for kinds in held for run, fault in _judge(kinds, view)}
    yield from ((run.id, judged[run.id]) for run in view.runs if run.id in judged)


def _judge(kinds: frozenset[str], view: CellView) -> Iterator[tuple[str, Fault]]:
    """The faults of the runs held for exactly these kinds."""
    own = [r for r in view.runs if view.held[r.id] == kinds and _judged(view, r)]
    company = company_of(kinds, view) if own else None
    if company is None:
        return
    found = apart_runs(company, view.limits.level)
    wanted = {run.id for run in own}
    for i, apart in found.items():
        run = company.runs[i]
        if run.id in wanted:
            siblings = [r for r in company.runs if r is not run and r not in apart.beside]
            fault = _fault(run, siblings, apart, view)
            if fault.severity is Severity.NOTE or not course_explains(run, siblings, apart.gap, view):
                yield run.id, fault


def _judged(view: CellView, run: Features) -> bool:
    explained = any(f.kind in _EXPLAINED and f.severity is not Severity.NOTE for f in view.found[run.id])
    return has_level(run) and not view.blocked(run.id) and not explained


def company_of(kinds: frozenset[str], view: CellView) -> Company | None:
    """All runs with a level that nothing holds but some of these kinds; None if there are fewer than two."""
    runs = tuple(r for r in view.runs if r.id not in view.out and view.held[r.id] <= kinds and has_level(r))
    if len(runs) < 2:
        return None
    peers = [headline_logs(peer) for peer in view.peers]
    own = along_scene(runs, view) if all(map(_is_average, runs)) else None
    others = [] if own is None else [a for a in (along_scene(peer, view) for peer in view.peers) if a]
    least = 0.0 if own is None else _wander([own, *others], view.limits.level)
    return Company(
        runs=runs,
        logs=headline_logs(runs),
        outside=beside(peers, view, least=least),
        peers=any(peer.size > 1 for peer in peers),
        course=None if own is None else own.logs,
        course_outside=None if own is None else beside([a.logs for a in others], view, least=least),
    )


def _wander(cells: Sequence[Along], limits: LevelLimits) -> float:
    """How much levels differ at least because takes wander along the scene, sd in logs."""
    return limits.wander_factor * math.sqrt(float(np.mean([v for cell in cells for v in cell.wander])))


def apart_runs(company: Company, limits: LevelLimits) -> dict[int, Apart]:
    """The runs that stand apart, by place in the company: by headline, by course, or two together."""
    told = standing(leave_one_out(company.logs), company.outside, limits)
    course = _along(company, limits)
    by_number = told.stands_apart(_number_p(company, limits), limits.least_gap)
    found = {int(i): _one(told, int(i), course, limits) for i in np.flatnonzero(by_number)}
    if course is not None:
        p = limits.course_p_few if len(company.runs) <= limits.few_runs else limits.course_p_many
        clear = course.stands_apart(p, limits.least_gap) & _shown(told, course, limits.course_share)
        found |= {
            int(i): _one(course, int(i), course, limits, by_course=True)
            for i in np.flatnonzero(clear)
            if int(i) not in found or found[int(i)].spread >= limits.noisy_spread
        }
    if any(_holds(apart, limits) for apart in found.values()):
        return found
    # A second odd run widens the very spread that the first is judged by: ask again without both.
    two = _two_apart(company, limits)
    return {i: apart for i, apart in found.items() if apart.elsewhere} | two if two else found


def _holds(apart: Apart, limits: LevelLimits) -> bool:
    """Whether the gap is beyond what the test scatters by, and the scene shows it: more than worth a note."""
    return apart.spread < limits.noisy_spread and not apart.elsewhere


def _number_p(company: Company, limits: LevelLimits) -> float:
    """How unlikely a headline must be; where neither setups nor courses stand witness, twice as unlikely."""
    p = limits.p_few if len(company.runs) <= limits.few_runs else limits.p_many
    return p if company.peers or company.course is not None else p * limits.no_peer_factor


def _along(company: Company, limits: LevelLimits) -> Standing | None:
    if company.course is None or company.course_outside is None:
        return None
    return standing(leave_one_out(company.course), company.course_outside, limits)


def _shown(told: Standing, course: Standing, share: float) -> npt.NDArray[np.bool_]:
    """Where the headline shows this share of the gap that is seen along the scene."""
    return np.asarray(told.gaps / np.where(course.gaps, course.gaps, np.inf) >= share)


def _one(
    told: Standing, i: int, course: Standing | None, limits: LevelLimits, *, by_course: bool = False
) -> Apart:
    along = None if course is None else float(course.gaps[i])
    return Apart(
        gap=float(told.gaps[i]),
        agreed=float(told.agreed[i]),
        spread=float(told.spread[i]),
        df=float(told.dfs[i]),
        p=float(told.p[i]),
        course=by_course,
        along=along,
        elsewhere=along is not None and along / told.gaps[i] < limits.elsewhere_share,
    )


def _two_apart(company: Company, limits: LevelLimits) -> dict[int, Apart]:
    """Two runs that both stand apart from all the rest, where that rest is a majority that agrees."""
    n = len(company.runs)
    if not limits.least_rest + 2 <= n <= limits.most_paired:
        return {}
    by_course = company.course is not None and company.course_outside is not None
    logs = company.course if company.course is not None else company.logs
    pairs, left = leave_two_out(logs)
    told = standing(left, company.course_outside or company.outside, limits)
    both = told.stands_apart(limits.p_two, limits.least_gap).all(axis=1)
    if not both.any():
        return {}
    best = int(np.argmin(np.where(both, told.p.max(axis=1), np.inf)))
    return {
        int(pairs[best, k]): _of_two(told, (best, k), company.runs[pairs[best, 1 - k]], by_course=by_course)
        for k in (0, 1)
    }


def _of_two(told: Standing, at: tuple[int, int], other: Features, *, by_course: bool) -> Apart:
    return Apart(
        gap=float(told.gaps[at]),
        agreed=float(told.agreed[at]),
        spread=float(told.spread[at]),
        df=float(told.dfs[at]),
        p=float(told.p[at]),
        course=by_course,
        along=float(told.gaps[at]) if by_course else None,
        beside=(other,),
    )


def _fault(run: Features, siblings: Sequence[Features], apart: Apart, view: CellView) -> Fault:
    pair = len(siblings) == 1
    noisy = apart.spread >= view.limits.level.noisy_spread
    return Fault(
        kind=KIND,
        title="Stands apart from its siblings",
        severity=Severity.NOTE if pair or not _holds(apart, view.limits.level) else Severity.IN_DOUBT,
        evidence=_sentence(run, siblings, apart, view) + _reserve(siblings, noisy=noisy),
        todo=(
            f"Record a third run to tell whether {run.run.label} or {siblings[0].run.label} is odd."
            if pair
            else "Compare settings, scene, driver and background load with its siblings; set it aside only "
            "for a reason found there, not for its number."
        ),
        numbers=_numbers(run, siblings, apart),
        siblings=tuple(s.id for s in siblings),
    )


def _numbers(run: Features, siblings: Sequence[Features], apart: Apart) -> dict[str, float]:
    along = {} if apart.along is None else {"along_scene_ln": apart.along}
    logs = headline_logs([run, *siblings])
    return {
        "headline": math.exp(logs[0]),
        "siblings_lowest": math.exp(min(logs[1:])),
        "siblings_highest": math.exp(max(logs[1:])),
        "gap_ln": apart.gap,
        "least_gap_ln": abs(apart.agreed),
        "spread_ln": apart.spread,
        "df": apart.df,
        "p": apart.p,
    } | along


def _sentence(run: Features, siblings: Sequence[Features], apart: Apart, view: CellView) -> str:
    own, others = run.run.headline, [s.run.headline for s in siblings if s.run.headline is not None]
    assert own is not None
    unit = view.company.test.unit
    digits = max(0, 3 - math.floor(math.log10(max(own, *others))))
    level = span(min(others), max(others), digits, unit)
    where = f"its siblings at {level}" if len(others) > 1 else f"{siblings[0].run.label} at {level}"
    seen = f"{amount(own, digits, unit)} against {where}: "
    scatter = f"where runs of this kind scatter by {share(apart.spread)} ({chance(apart.p)})."
    if apart.course:
        gap = change(math.exp(apart.gap))
        along = f"along the scene, hitches and stretches apart, its rate is {gap}, {scatter}"
        return seen + along + _beside(apart)
    return f"{seen}{change(math.exp(apart.gap))}, {scatter}" + _elsewhere(apart) + _beside(apart)


def _elsewhere(apart: Apart) -> str:
    """What the course of the run adds to what its headline says."""
    if apart.along is None:
        return ""
    along = change(math.exp(apart.along))
    if not apart.elsewhere:
        return f" The same along the scene, hitches and stretches apart: {along}."
    return f" Not so along the scene ({along}): hitches, a stretch or a shifted start have moved the number."


def _is_average(run: Features) -> bool:
    """Whether the headline is the average rate of the frames: only then must the scene show what it shows."""
    if not run.frames or run.run.headline is None:
        return False
    mean_ms, headline = 1000 * run.duration_s / run.frames, run.run.headline
    return abs(math.log(headline * mean_ms / 1000)) <= _AVERAGE_WITHIN


def _beside(apart: Apart) -> str:
    names = listing([r.run.label for r in apart.beside])
    return f" Judged without {names}, which stands apart as well." if names else ""


def _reserve(siblings: Sequence[Features], *, noisy: bool) -> str:
    if len(siblings) == 1:
        return " Of two runs nobody can say which is the odd one."
    return " This test scatters too widely to hold a run for its number." if noisy else ""
