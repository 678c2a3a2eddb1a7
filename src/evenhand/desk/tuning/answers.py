"""Tuned parts, trials and what these tell for programs: the same keys on the command line and over HTTP."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from evenhand.desk.tuning.beside_stock import against_stock
from evenhand.desk.tuning.coming import limit_answer, maker_limit, next_said
from evenhand.desk.tuning.doubts_said import doubt_said
from evenhand.desk.tuning.standing import AtPoint, Outlook, OutOfOrder, TuningNow
from evenhand.desk.tuning.under_way_answers import under_way_answer
from evenhand.publish.tuning.advice import CAUTION, advice_words, caution_for, outlook_words
from evenhand.publish.tuning.claims import claim_words, may_words, more_words
from evenhand.publish.tuning.trials import trial_words
from evenhand.records.trials import Trial, Tuned
from evenhand.records.turns import Turn, why_gone
from evenhand.records.under_way import UnderWay
from evenhand.tuning.advice import Advice
from evenhand.tuning.claims import Claim
from evenhand.tuning.clock_alone import ClockProspect

Answer = dict[str, Any]


def tuned_answer(tuned: Tuned) -> Answer:
    """A tuned part with its limits."""
    return {
        "setup": tuned.setup,
        "part": tuned.part,
        "stock_clock_mhz": tuned.stock_clock_mhz,
        "stock_voltage_mv": tuned.stock_voltage_mv,
        "clock_step_mhz": tuned.clock_step_mhz,
        "voltage_step_mv": tuned.voltage_step_mv,
        "offset": tuned.offset,
        "clock_alone": tuned.clock_alone,
        "hottest_room_c": tuned.hottest_room_c,
        "limits": [limit_answer(limit) for limit in tuned.limits],
    }


def trial_answer(trial: Trial, tuned: Tuned, turns: Sequence[Turn] = ()) -> Answer:
    """One trial; `turns` are when and why it was taken back or put back."""
    return {
        "id": trial.id,
        "key": trial.key,
        "setup": trial.setup,
        "part": trial.part,
        "clock_mhz": trial.clock_mhz,
        "voltage_mv": trial.voltage_mv,
        "load": trial.load,
        "hours": trial.hours,
        "outcome": trial.outcome.value,
        "planned_h": trial.planned_h,
        "found_after_h": trial.found_after_h,
        "errors": trial.errors,
        "corrected": trial.corrected,
        "settings": dict(trial.settings),
        "room_c": trial.room_c,
        "hottest_c": trial.hottest_c,
        "watts": trial.watts,
        "watts_at": None if trial.watts_at is None else trial.watts_at.value,
        "at": None if trial.at is None else trial.at.isoformat(),
        "note": trial.note,
        "by": trial.by,
        "taken_back": why_gone(turns),
        "turns": [
            {"counts": each.counts, "reason": each.reason, "at": each.at.isoformat()} for each in turns
        ],
        "words": trial_words(trial, offset=tuned.offset),
    }


def trials_answer(
    tuned: Tuned,
    trials: Sequence[Trial],
    turns: Mapping[int, Sequence[Turn]],
    running: Sequence[UnderWay],
) -> Answer:
    """``trials --json``: every trial there ever was, and what runs just now."""
    return {
        "setup": tuned.setup,
        "part": tuned.part,
        "trials": [trial_answer(each, tuned, turns.get(each.id, ())) for each in trials],
        "under_way": [under_way_answer(each) for each in running],
    }


def tuning_answer(tuned: Tuned, standing: Sequence[TuningNow]) -> Answer:
    """``tuning --json``: where every series stands, that of the last trial first."""
    return {"tuned": tuned_answer(tuned), "series": [now_answer(now) for now in standing]}


def now_answer(now: TuningNow) -> Answer:
    """Where one series stands."""
    offset = now.series.tuned.offset
    wanted = now.wanted
    return {
        "load": now.series.load,
        "settings": dict(now.series.settings),
        "trials": len(now.series.trials),
        "room_c": now.room_c,
        "hottest_room_c": now.goal.room_c,
        "target_per_h": now.goal.rate,
        "next": _next(now),
        "wanted": None if wanted is None else {
            "clock_mhz": wanted.advice.clock_mhz,
            "voltage_mv": wanted.advice.voltage_mv,
            "claim": None if wanted.at is None else claim_answer(wanted.at.claim, now.series.load),
        },
        "advice": [advice_answer(each, now) for each in now.advice],
        "points": [point_answer(each, now.series.load) for each in now.points],
        "outlooks": [outlook_answer(each, offset=offset) for each in now.outlooks],
        "out_of_order": [order_answer(each) for each in now.order],
        "doubts": [{"doubt": each.value, "words": doubt_said(each, now)} for each in now.doubts],
    }  # fmt: skip


def _next(now: TuningNow) -> Answer:
    found = now.next
    return {
        "clock_mhz": found.clock_mhz if found else None,
        "voltage_mv": found.voltage_mv if found else None,
        "hours": found.hours if found else None,
        "purpose": found.purpose.value if found else None,
        "words": next_said(now),
        "caution": caution_for(found.hours) if found else CAUTION,
    }


def advice_answer(advice: Advice, now: TuningNow) -> Answer:
    """The advice for one clock."""
    return {
        "clock_mhz": advice.clock_mhz,
        "voltage_mv": advice.voltage_mv,
        "guard_band_mv": advice.guard_band_mv,
        "reserve_mv": advice.reserve_mv,
        "edge_mv": None if advice.edge_mv is None else list(advice.edge_mv),
        "needed_mv": None if advice.needed_mv is None else list(advice.needed_mv),
        "guard_band_mhz": advice.guard_band_mhz,
        "reserve_mhz": advice.reserve_mhz,
        "edge_mhz": None if advice.edge_mhz is None else list(advice.edge_mhz),
        "meets_mhz": None if advice.meets_mhz is None else list(advice.meets_mhz),
        "withheld": None if advice.withheld is None else advice.withheld.value,
        "against_stock": against_stock(now, advice),
        "words": advice_words(advice, offset=now.series.tuned.offset, most=maker_limit(now.series.tuned)),
    }


def point_answer(point: AtPoint, load: str) -> Answer:
    """One point with what its hours claim."""
    return {
        "clock_mhz": point.clock_mhz,
        "voltage_mv": point.voltage_mv,
        "trials": [trial.id for trial in point.trials],
        "claim": claim_answer(point.claim, load),
    }


def claim_answer(claim: Claim, load: str) -> Answer:
    """What hours claim; `most_per_h` is null without any hour."""
    known = math.isfinite(claim.most_per_h)
    may, may_not = may_words(claim, load) if known else ("", ())
    return {
        "hours": claim.hours,
        "failures": claim.failures,
        "corrected": claim.corrected,
        "rooms_c": None if claim.rooms_c is None else list(claim.rooms_c),
        "unread_rooms": claim.unread_rooms,
        "against": None if claim.against is None else asdict(claim.against),
        "most_per_h": claim.most_per_h if known else None,
        "words": claim_words(claim, load),
        "more": more_words(claim) if known else "",
        "may": may,
        "may_not": list(may_not),
    }


def outlook_answer(outlook: Outlook, *, offset: bool) -> Answer:
    """What some hours at a point would change."""
    found = outlook.prospect
    mhz = found if isinstance(found, ClockProspect) else None
    mv = None if isinstance(found, ClockProspect) else found
    return {
        "clock_mhz": outlook.clock_mhz,
        "voltage_mv": outlook.voltage_mv,
        "hours": found.hours,
        "holds": found.holds,
        "now_mv": mv and mv.now_mv,
        "if_held_mv": mv and mv.if_held_mv,
        "if_failed_mv": mv and mv.if_failed_mv,
        "now_mhz": mhz and mhz.now_mhz,
        "if_held_mhz": mhz and mhz.if_held_mhz,
        "if_failed_mhz": mhz and mhz.if_failed_mhz,
        "words": outlook_words(outlook.clock_mhz, outlook.voltage_mv, found, offset=offset),
    }


def order_answer(order: OutOfOrder) -> Answer:
    """Trials that contradict each other, by their numbers."""
    return {"failed": [trial.id for trial in order.failed], "held": [trial.id for trial in order.held]}
