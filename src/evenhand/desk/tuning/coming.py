"""What comes next for a tuned part, or why nothing does, in words that a rig and a person can follow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from evenhand.desk.tuning.beside_stock import against_stock
from evenhand.desk.tuning.doubts_said import doubts_said
from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.publish.tuning import advice as say
from evenhand.publish.tuning.claims import claim_words, may_words, more_words
from evenhand.publish.tuning.doubts import STOCK_FAILED
from evenhand.publish.tuning.words import limit_words, point_words
from evenhand.records.trials import Limit, Quantity, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.advice import Withheld
from evenhand.tuning.rising import rise_of


def next_trial(
    wb: Workbench, setup: str, part: str, *, load: str = "", settings: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """The next trial for a rig, or ``why`` there is none. Raises NotFound for an unknown setup or part."""
    now = tuning_now(one_series(wb, setup, part, load=load, settings=settings))
    limits = [limit_for_rig(limit, now.series.tuned) for limit in now.series.tuned.limits]
    if now.next is None:
        return {"why": why_none(now), "limits": limits}
    return {
        "clock_mhz": now.next.clock_mhz, "voltage_mv": now.next.voltage_mv, "hours": now.next.hours,
        "purpose": now.next.purpose.value, "load": now.series.load, "settings": dict(now.series.settings),
        "words": next_said(now), "caution": say.caution_for(now.next.hours), "limits": limits,
    }  # fmt: skip


def next_said(now: TuningNow) -> str:
    """What comes next as a sentence, or why nothing does."""
    if now.next is None:
        return why_none(now)
    tuned = now.series.tuned
    rise = rise_of(now.next, tuned, now.series.trials)
    return say.next_words(now.next, now.series.load, offset=tuned.offset, rise=rise)


def why_none(now: TuningNow) -> str:
    """Why no trial comes next, and what to do."""
    if now.map is None or now.plan is None:
        return next(iter(doubts_said(now)), "")
    wanted = now.wanted
    failed = wanted is not None and wanted.advice.withheld is Withheld.STOCK_FAILED
    if failed or now.plan.tried.get(now.map.start) is False:
        return STOCK_FAILED
    if now.plan.barred is not None and (wanted is None or wanted.advice.withheld is not None):
        return say.TOO_HOT_BEYOND if now.plan.barred is Quantity.TEMPERATURE else say.TOO_MUCH_POWER_BEYOND
    if now.series.tuned.clock_alone and wanted is not None and now.map is not None:
        top = wanted.advice.clock_mhz >= now.map.clocks_mhz[-1]
        if top and wanted.advice.withheld is Withheld.NEVER_FAILED:
            return say.AT_LIMIT
    if wanted is not None and wanted.advice.withheld is not None:
        why = wanted.advice.withheld
        return f"No trial comes next: {why.value}. {say.TODO[why]}"
    if wanted is not None and wanted.at is not None and wanted.at.claim.failures:
        return say.FAILED_THERE
    return say.DONE


def wanted_said(now: TuningNow) -> Iterator[str]:
    """The advice for the wanted clock, and what the hours there claim, as sentences."""
    tuned, load = now.series.tuned, now.series.load
    if now.wanted is None:
        return
    yield say.advice_words(now.wanted.advice, offset=tuned.offset, most=maker_limit(tuned))
    if against := against_stock(now, now.wanted.advice):
        yield against
    if now.wanted.at is not None and now.wanted.at.claim.hours > 0:
        yield claim_words(now.wanted.at.claim, load)
        yield more_words(now.wanted.at.claim)


def called_said(now: TuningNow) -> Iterator[str]:
    """What the part may be called at the advised voltage, and what it may not, in one line."""
    if now.wanted is None or now.wanted.at is None or not now.wanted.at.claim.hours > 0:
        return
    at = now.wanted.at
    may, may_not = may_words(at.claim, now.series.load)
    point = point_words(at.clock_mhz, at.voltage_mv, offset=now.series.tuned.offset)
    yield f"{point} may be called: “{may}”; may not: {', '.join(f'“{each}”' for each in may_not)}."


def maker_limit(tuned: Tuned) -> Limit | None:
    """The maker's limit as it is written there: of the voltage, stock and all, or of a clock tuned alone."""
    return tuned.limit(Quantity.CLOCK if tuned.clock_alone else Quantity.VOLTAGE)


def limit_for_rig(limit: Limit, tuned: Tuned) -> dict[str, Any]:
    """A limit as it is held against what is set: of a voltage that is written as an offset, less stock."""
    told = limit_answer(limit)
    if tuned.offset and limit.quantity is Quantity.VOLTAGE and tuned.stock_voltage_mv is not None:
        told["most"] = limit.most - tuned.stock_voltage_mv
    return told


def limit_answer(limit: Limit) -> dict[str, Any]:
    """A limit for programs."""
    return {
        "id": limit.id, "quantity": limit.quantity.value, "most": limit.most, "unit": limit.quantity.unit,
        "source": limit.source, "read_on": limit.read_on.isoformat(), "words": limit_words(limit),
    }  # fmt: skip
