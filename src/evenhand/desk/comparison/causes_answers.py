"""Causes as JSON: what differs, what each part does, swaps, what limits each test, and anchors over time."""

from __future__ import annotations

from typing import Any

from evenhand.desk.comparison.anchoring import AcrossTime
from evenhand.desk.comparison.exchanging import Swaps
from evenhand.desk.comparison.explaining import Explained
from evenhand.desk.comparison.limiting import OnMachine
from evenhand.desk.pages.causes import answer_of, write_down
from evenhand.findings.bridges import Bridged, NoBridge
from evenhand.findings.cause import Cause
from evenhand.findings.control import Control
from evenhand.findings.effects import Effect
from evenhand.findings.refusals import Refusal
from evenhand.findings.scaling import Limit, Slope
from evenhand.findings.swaps import Swap
from evenhand.findings.unlikes import Unlike
from evenhand.stats.designs import Change

Answer = dict[str, Any]


def causes_answer(found: Explained) -> Answer:
    """``causes --json``: ratios a over b with better upward."""
    return {
        "study": found.record.study.key,
        "margin": found.record.study.margin,
        "a": found.a,
        "b": found.b,
        "words": answer_of(found),
        "differences": [unlike_answer(unlike) for unlike in found.differs.unlikes],
        "alike": list(found.differs.alike),
        "caveats": [caveat.told() for caveat in found.differs.caveats],
        "refused": [refusal_answer(refusal) for refusal in found.refused],
        "causes": [cause_answer(cause) for cause in found.causes],
        "write_down": write_down(found),
        "swaps": [swaps_answer(swaps) for swaps in found.swaps],
        "limits": [limit_answer(limit, on) for on in found.limits for limit in on.limits],
        "tuned": [tuned_answer(on) for on in found.limits if on.tuned],
        "time": time_answer(found.time),
    }


def unlike_answer(unlike: Unlike) -> Answer:
    """One thing in which the two differ."""
    return {
        "aspect": unlike.aspect.value,
        "name": unlike.name,
        "of_a": list(unlike.a),
        "of_b": list(unlike.b),
        "mark": unlike.mark.value,
        "words": unlike.words,
        "lacking": list(unlike.lacking),
        "tests": list(unlike.tests),
    }


def refusal_answer(refusal: Refusal) -> Answer:
    """Numbers that may not share a ratio."""
    return {
        "test": refusal.test, "setups": list(refusal.setups), "key": refusal.key, "words": refusal.words,
        "todo": refusal.todo,
    }  # fmt: skip


def cause_answer(cause: Cause) -> Answer:
    """One effect, bundle or interaction in one test."""
    caveats = dict.fromkeys((*cause.caveats, *(cause.effect.caveats if cause.effect else ())))
    return {
        "test": cause.test,
        "metric": cause.metric,
        "sort": cause.sort.value,
        "standing": cause.standing.value,
        "changes": [change_answer(change) for change in cause.changes],
        "against": [change.factor for change in cause.against],
        "effect": None if cause.effect is None else effect_answer(cause.effect),
        "weights": dict(cause.weights),
        "direct": cause.direct,
        "depends_on": list(cause.depends_on),
        "caveats": [caveat.told() for caveat in caveats],
    }


def change_answer(change: Change) -> Answer:
    """One factor from what b has to what a has."""
    return {"factor": change.factor, "of_b": change.low, "of_a": change.high}


def effect_answer(effect: Effect) -> Answer:
    """A ratio with its interval."""
    return {
        "ratio": effect.ratio, "low": effect.low, "high": effect.high, "outcome": effect.outcome.value,
        "bound_low": effect.bound_low, "bound_high": effect.bound_high, "p_holm": effect.p_holm,
        "runs": effect.runs, "method": effect.method,
    }  # fmt: skip


def swaps_answer(swaps: Swaps) -> Answer:
    """The setups that would tell a bundle apart."""
    plan = swaps.plan
    made = None if plan.swaps is None else [
        swap_answer(swap, there) for swap, there in zip(plan.swaps, swaps.there, strict=True)
    ]  # fmt: skip
    return {
        "tests": list(swaps.tests),
        "wanted": [change_answer(change) for change in swaps.wanted],
        "setups": made,
        "runs": dict(plan.runs),
        "minutes": plan.minutes,
        "quickest": None
        if plan.quickest is None
        else {
            "test": plan.quickest.test,
            "runs": plan.quickest.runs,
            "minutes": plan.quickest.minutes,
        },
        "held": dict(plan.held),
        "complete": plan.complete,
    }


def swap_answer(swap: Swap, there: str) -> Answer:
    """One setup to make, or one that is there."""
    return {
        "like": swap.like, "exchanged": [change_answer(change) for change in swap.exchanged],
        "levels": dict(swap.levels), "on_record": there or None,
    }  # fmt: skip


def limit_answer(limit: Limit, on: OnMachine) -> Answer:
    """What holds a test back on a build."""
    evidence = [
        {**slope_answer(slope), "says": leaning.value} for slope, leaning in limit.evidence
    ]  # fmt: skip
    return {
        "test": limit.test, "build": on.build, "is": limit.leaning.value, "evidence": evidence,
        "caveats": [caveat.told() for caveat in limit.caveats],
    }  # fmt: skip


def slope_answer(slope: Slope) -> Answer:
    """One slope of the log of a rate."""
    return {
        "test": slope.test, "setting": slope.setting, "value": slope.value, "low": slope.low,
        "high": slope.high, "runs": slope.runs,
    }  # fmt: skip


def tuned_answer(on: OnMachine) -> Answer:
    """What states of a build gained over one another."""
    return {
        "build": on.build,
        "pairs": [
            {
                "tuned": each.tuned, "stock": each.stock,
                "gains": [
                    {**slope_answer(s), "surely_above_one": s.surely_above_one, "along": list(s.along)}
                    for s in each.gains
                ],
            }
            for each in on.tuned
        ],
    }  # fmt: skip


def time_answer(time: AcrossTime) -> Answer:
    """What changed, what anchors shifted, pairs joined or not, and the control charts."""
    return {
        "changed": list(time.changed),
        "periods": list(time.periods),
        "shifts": [
            {"anchor": each.anchor, "old": each.old, "new": each.new,
             "tests": {shift.test: effect_answer(shift.effect) for shift in each.shifts},
             "all": None if each.common is None else effect_answer(each.common)}
            for each in time.crossed
        ],
        "bridges": [bridge_answer(each) for each in time.bridges],
        "watched": time.watched or None,
        "control": [control_answer(chart) for chart in time.steady],
    }  # fmt: skip


def bridge_answer(found: Bridged | NoBridge) -> Answer:
    """A pair measured apart: joined, or refused with words."""
    if isinstance(found, NoBridge):
        return {
            "test": found.test, "a": found.a, "b": found.b, "anchor": None, "effect": None,
            "words": found.words, "todo": found.todo,
        }  # fmt: skip
    return {
        "test": found.test, "a": found.a, "b": found.b, "anchor": found.anchor,
        "effect": effect_answer(found.effect), "words": "", "todo": "",
    }  # fmt: skip


def control_answer(chart: Control) -> Answer:
    """The anchor in one test over its bench days."""
    return {
        "test": chart.test,
        "under": chart.under,
        "days": [
            {"at": mark.at.isoformat(), "value": mark.value, "low": mark.low, "high": mark.high,
             "outside": mark.outside, "runs": mark.runs}
            for mark in chart.marks
        ],
        "drift_a_day": chart.drift_a_day,
        "drifts": chart.drifts,
        "caveats": [caveat.told() for caveat in chart.caveats],
    }  # fmt: skip
