"""What comes next for a tuned part, or why nothing does, in words that a rig and a person can follow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.publish import tuning_advice as say
from evenhand.publish.tuning_words import limit_words
from evenhand.records.trials import Limit
from evenhand.store.workbench import Workbench


def next_trial(
    wb: Workbench, setup: str, part: str, *, load: str = "", settings: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """The next trial for a rig, or ``why`` there is none. Raises NotFound for an unknown setup or part."""
    now = tuning_now(one_series(wb, setup, part, load=load, settings=settings))
    limits = [limit_answer(limit) for limit in now.series.tuned.limits]
    if now.next is None:
        return {"why": why_none(now), "limits": limits}
    return {
        "clock_mhz": now.next.clock_mhz, "voltage_mv": now.next.voltage_mv, "hours": now.next.hours,
        "purpose": now.next.purpose.value, "load": now.series.load, "settings": dict(now.series.settings),
        "words": next_said(now), "caution": say.CAUTION, "limits": limits,
    }  # fmt: skip


def next_said(now: TuningNow) -> str:
    """What comes next as a sentence, or why nothing does."""
    if now.next is None:
        return why_none(now)
    return say.next_words(now.next, now.series.load, offset=now.series.tuned.offset)


def why_none(now: TuningNow) -> str:
    """Why no trial comes next, and what to do."""
    if now.map is None or now.plan is None:
        return next((say.WHY[doubt] for doubt in now.doubts), "")
    if now.plan.tried.get(now.map.start) is False:
        return say.STOCK_FAILED
    wanted = now.wanted
    if wanted is not None and wanted.advice.withheld is not None:
        why = wanted.advice.withheld
        return f"No trial comes next: {why.value}. {say.TODO[why]}"
    if wanted is not None and wanted.at is not None and wanted.at.claim.failures:
        return say.FAILED_THERE
    return say.DONE


def advice_said(now: TuningNow) -> Iterator[str]:
    """The advice for every clock that held, as sentences."""
    tuned = now.series.tuned
    for each in now.advice:
        yield say.advice_words(each, offset=tuned.offset, most=maker_limit(now))


def maker_limit(now: TuningNow) -> Limit | None:
    """The maker's limit of the voltage as it is written there, stock and all."""
    own = [limit for limit in now.series.tuned.limits if limit.quantity.value == "voltage"]
    return min(own, key=lambda limit: limit.most, default=None)


def limit_answer(limit: Limit) -> dict[str, Any]:
    """A limit for programs."""
    return {
        "id": limit.id, "quantity": limit.quantity.value, "most": limit.most, "unit": limit.quantity.unit,
        "source": limit.source, "read_on": limit.read_on.isoformat(), "words": limit_words(limit),
    }  # fmt: skip
