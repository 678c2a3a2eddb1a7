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
from evenhand.triage.kinds.level_words import Apart, apart_fault, holds
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

_EXPLAINED = ("wrong-units", "not-frames", "twin", "rate-cap", "lock-missed", "screen-steps", "throttling",
    "power-limit", "fan-failure", "memory-full", "wrong-scene")  # fmt: skip
_AVERAGE_WITHIN = (
    0.01  # ln: by this much a log's own average may differ from a headline that is meant to be it
)


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
            fault = apart_fault(run, siblings, apart, view)
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
    by_number = told.stands_apart(_number_p(company, limits), limits.least_gap) | _unknown(told, limits)
    found = {int(i): _one(told, int(i), course, limits) for i in np.flatnonzero(by_number)}
    if course is not None:
        shown = _shown(told, course, limits.course_share)
        clear = course.stands_apart(_course_p(company, limits), limits.least_gap) & shown
        found |= {
            int(i): _one(course, int(i), course, limits, by_course=True)
            for i in np.flatnonzero(clear)
            if int(i) not in found or found[int(i)].spread >= limits.noisy_spread
        }
    if any(holds(apart, limits) for apart in found.values()):
        return found
    # A second odd run widens the very spread that the first is judged by: ask again without both.
    two = _two_apart(company, limits)
    return {i: apart for i, apart in found.items() if apart.elsewhere} | two if two else found


def _unknown(told: Standing, limits: LevelLimits) -> npt.NDArray[np.bool_]:
    """Two runs further apart than most tests scatter, where nothing is known of the spread.

    Nor is it where two runs of each setup lie far apart: they excuse each other.
    """
    pair = told.gaps.size == 2
    wild = pair & (told.spread >= limits.noisy_spread)
    return np.asarray(((told.dfs == 0) | wild) & (np.abs(told.gaps) >= limits.unknown_pair_gap))


def _course_p(company: Company, limits: LevelLimits) -> float:
    """How unlikely a level along the scene must be; of two runs none is held, so they are told sooner."""
    if len(company.runs) == 2:
        return limits.p_pair
    return limits.course_p_few if len(company.runs) <= limits.few_runs else limits.course_p_many


def _number_p(company: Company, limits: LevelLimits) -> float:
    """How unlikely a headline must be; where neither setups nor courses stand witness, twice as unlikely.

    Of two runs none is held, so they are told sooner.
    """
    if len(company.runs) == 2:
        return limits.p_pair
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


def _is_average(run: Features) -> bool:
    """Whether the headline is the average rate of the frames: only then must the scene show what it shows."""
    if not run.frames or run.run.headline is None:
        return False
    mean_ms, headline = 1000 * run.duration_s / run.frames, run.run.headline
    return abs(math.log(headline * mean_ms / 1000)) <= _AVERAGE_WITHIN
