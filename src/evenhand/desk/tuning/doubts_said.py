"""What is to be doubted of a series of trials, as sentences that name the points which they are of."""

from __future__ import annotations

from evenhand.desk.tuning.standing import OutOfOrder, TuningNow
from evenhand.publish.tuning.doubts import FOR_READERS, MOST_PAIRS, WHY, order_words, uncured_words
from evenhand.publish.tuning.trials import trial_words
from evenhand.publish.tuning.words import point_words
from evenhand.records.trials import Trial
from evenhand.tuning.doubts import Doubt
from evenhand.tuning.evidence import failures_of


def doubts_said(now: TuningNow, *, readers: bool = False) -> tuple[str, ...]:
    """Every doubt, the gravest first; for `readers` without what there is to do."""
    return tuple(doubt_said(doubt, now, readers=readers) for doubt in now.doubts)


def doubt_said(doubt: Doubt, now: TuningNow, *, readers: bool = False) -> str:
    """One doubt of a series."""
    told_off = doubt is Doubt.OUT_OF_ORDER and Doubt.STOCK_FAILED in now.doubts  # no trial is named then
    said = (FOR_READERS if readers or told_off else WHY)[doubt]
    if doubt is Doubt.NOT_CURED:
        easiest = [trial_words(each, offset=now.series.tuned.offset) for each in easiest_failed(now)]
        return f"{said} {uncured_words(easiest)}".strip()
    if doubt is not Doubt.OUT_OF_ORDER:
        return said
    pairs = [_pair(each, offset=now.series.tuned.offset) for each in now.order if each.failed and each.held]
    return f"{order_words(pairs)} {said}" if pairs else said


def easiest_failed(now: TuningNow) -> tuple[Trial, ...]:
    """The failures that more voltage would have cured least: those where least was asked of the part."""
    slope = 0.0 if now.map is None else now.map.slope
    spoken = {
        (found.clock_mhz, found.voltage_mv)
        for point in now.points
        if (found := point.claim.against) is not None
    }
    failed = sorted(
        (each for each in now.series.trials if failures_of(each)),
        key=lambda each: slope * each.clock_mhz - each.voltage_mv,
    )
    against = [each for each in failed if (each.clock_mhz, each.voltage_mv) in spoken]
    return tuple((against or failed)[: MOST_PAIRS if against else 1])


def _pair(order: OutOfOrder, *, offset: bool) -> tuple[str, str]:
    bad, good = (
        point_words(trials[0].clock_mhz, trials[0].voltage_mv, offset=offset)
        for trials in (order.failed, order.held)
    )
    return bad, good
