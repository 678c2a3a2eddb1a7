"""Sums of mean logs judged as effects: ratio, interval, outcome, by the rules of any finding."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.measured import Summed
from evenhand.findings.outcomes import (
    LEVEL_INTERVAL,
    SHOWN_INTERVAL,
    Evidence,
    decide,
    ends,
    from_log,
    is_measurable,
    may_be_small,
)
from evenhand.stats.between import Rule
from evenhand.stats.families import holm


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """A ratio with its interval at `level`, as in `Finding`: above 1 is better, whatever the metric.

    `bound_low`, `bound_high`: the 90 % interval widened by the allowance. `runs` are those behind it.
    """

    ratio: float
    low: float | None
    high: float | None
    outcome: Outcome
    method: str
    runs: int
    level: float = SHOWN_INTERVAL
    p: float | None = None
    p_holm: float | None = None
    bound_low: float | None = None
    bound_high: float | None = None
    measurably: bool = False
    perhaps_small: bool = False
    caveats: tuple[Caveat, ...] = ()


def effects(found: Sequence[Summed], *, margin: float) -> tuple[Effect, ...]:
    """Each sum as an effect, Holm over all of them that have an interval from repeats; `margin` is a log.

    A sum with a single run in it takes no part and stays unsettled, as a finding does.
    """
    p_values = {i: p for i, s in enumerate(found) if (p := _p(s)) is not None}
    adjusted = dict(zip(p_values, map(float, holm(list(p_values.values()))), strict=True))
    return tuple(
        _effect(s, p=p_values.get(i), p_holm=adjusted.get(i), margin=margin) for i, s in enumerate(found)
    )


def _p(summed: Summed) -> float | None:
    return None if summed.one_run else summed.difference.p_value(allowance=summed.allowance)


def _effect(summed: Summed, *, p: float | None, p_holm: float | None, margin: float) -> Effect:
    d, half = summed.difference.d, summed.difference.half_width(SHOWN_INTERVAL)
    half_90 = None if summed.one_run else summed.difference.half_width(LEVEL_INTERVAL)
    evidence = Evidence(effect=d, half_90=half_90, p=p_holm, allowance=summed.allowance)
    outcome = decide(evidence, margin=margin)
    low, high = ends(d, half)
    bound_low, bound_high = evidence.bounds or (None, None)
    return Effect(
        ratio=from_log(d), low=low, high=high, outcome=outcome, method=_method(summed), runs=summed.runs,
        p=p, p_holm=p_holm, bound_low=bound_low, bound_high=bound_high,
        measurably=is_measurable(outcome, p_holm),
        perhaps_small=may_be_small(outcome, (low, high, bound_low, bound_high), margin=margin),
        caveats=summed.caveats,
    )  # fmt: skip


def _method(summed: Summed) -> str:
    rule, over = summed.difference.rule, "boots" if summed.by_boot else "runs"
    if rule is Rule.NONE:
        return "none: no spread known"
    if rule is Rule.BORROWED:
        return rule.value
    kinds = {Rule.MODERATED: "moderated t", Rule.OWN: "t on own spread", Rule.WELCH: "t, cells not pooled"}
    return f"{kinds[rule]} over {over}"
