"""What is to be doubted of a series of trials, as sentences that name the points which they are of."""

from __future__ import annotations

from evenhand.desk.tuning.standing import OutOfOrder, TuningNow
from evenhand.publish.tuning.doubts import FOR_READERS, WHY, order_words
from evenhand.publish.tuning.words import point_words
from evenhand.tuning.doubts import Doubt


def doubts_said(now: TuningNow, *, readers: bool = False) -> tuple[str, ...]:
    """Every doubt, the gravest first; for `readers` without what there is to do."""
    return tuple(doubt_said(doubt, now, readers=readers) for doubt in now.doubts)


def doubt_said(doubt: Doubt, now: TuningNow, *, readers: bool = False) -> str:
    """One doubt of a series."""
    said = (FOR_READERS if readers else WHY)[doubt]
    if doubt is not Doubt.OUT_OF_ORDER:
        return said
    pairs = [_pair(each, offset=now.series.tuned.offset) for each in now.order if each.failed and each.held]
    return f"{order_words(pairs)} {said}" if pairs else said


def _pair(order: OutOfOrder, *, offset: bool) -> tuple[str, str]:
    bad, good = (
        point_words(trials[0].clock_mhz, trials[0].voltage_mv, offset=offset)
        for trials in (order.failed, order.held)
    )
    return bad, good
