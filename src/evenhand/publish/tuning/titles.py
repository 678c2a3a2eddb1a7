"""The sentence over a picture of a tuned part: what is known, from its fullest wording to its shortest."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital, counted, level_words, number, with_unit
from evenhand.publish.spans import percent_span
from evenhand.publish.tuning.bands import kelvins
from evenhand.publish.tuning.claims import against_words, bound_words, failures_words, room_words
from evenhand.publish.tuning.stock import beside_stock, undervolted
from evenhand.publish.tuning.words import clock_words, hours_words, point_words, voltage_words
from evenhand.records.trials import Trial
from evenhand.tuning.advice import Advice, Withheld
from evenhand.tuning.bands import Band
from evenhand.tuning.claims import LEVEL, Claim
from evenhand.tuning.evidence import failures_of

AT_STOCK = " at the stock clock"


def map_titles(
    trials: Sequence[Trial], advice: Advice | None, *, part: str, offset: bool,
    stock: tuple[float, float] | None = None,
) -> tuple[str, ...]:  # fmt: skip
    """What trials tell of the edge: wordings, the fullest first. `advice` is that of the clock told of.

    With less voltage at the clock of `stock` (clock and voltage) it is told how much less.
    """
    failed = sum(failures_of(trial) > 0 for trial in trials)
    if not trials:
        return (f"Nothing was tried on the {part} yet", "Nothing was tried yet")
    if advice is not None and advice.withheld is Withheld.STOCK_FAILED:
        return (f"Stock itself failed on the {part}: nothing is advised until that is mended",
                "Stock itself failed: nothing is advised until that is mended",
                "Stock itself failed")  # fmt: skip
    if len(trials) == 1:
        at = point_words(trials[0].clock_mhz, trials[0].voltage_mv, offset=offset)
        how = "a failure" if failed else f"no failure in {hours_words(trials[0].hours)}"
        return f"One trial, {at}: {how}; nothing else is known yet", f"One trial: {how}"
    if not failed:
        seen = f"No failure in {counted(len(trials), 'trial')}"
        return f"{seen}: where the {part} begins to fail is not known yet", f"{seen}: its edge is not known"
    if advice is not None and advice.withheld is Withheld.NEVER_HELD:
        return (f"Nothing held on the {part}: {counted(len(trials), 'trial')}, {failures_words(failed)}",
                f"Nothing held in {counted(len(trials), 'trial')}")  # fmt: skip
    if advice is not None and advice.edge_mhz is not None:
        return _clock_titles(advice, part)
    if advice is None or advice.edge_mv is None:
        seen = f"{capital(counted(failed, 'failure'))} in {counted(len(trials), 'trial')}"
        return (f"{seen}: nothing is advised yet", seen)
    return _edge_titles(advice, part, stock, offset=offset)


def _clock_titles(advice: Advice, part: str) -> tuple[str, ...]:
    """The same of a part whose voltage is left alone."""
    edge = clock_words(round((advice.edge_mhz or (0.0, 0.0, 0.0))[1]))
    if advice.voltage_mv is not None:
        then = f"{clock_words(advice.clock_mhz)} is advised"
    else:
        then = f"no clock is advised: {advice.withheld}" if advice.withheld else "nothing is advised"
    short = then.partition(":")[0]
    return (
        f"At its own voltage the edge of the {part} lies near {edge}; {then}",
        f"The edge of the {part} lies near {edge}; {then}",
        f"Edge near {edge}; {short}",
        capital(short),
    )


def _edge_titles(
    advice: Advice, part: str, stock: tuple[float, float] | None, *, offset: bool
) -> tuple[str, ...]:  # fmt: skip
    at = clock_words(advice.clock_mhz)
    edge = voltage_words(round((advice.edge_mv or (0.0, 0.0, 0.0))[1]), offset=offset)
    below = ""
    if advice.voltage_mv is not None:
        then = f"{voltage_words(advice.voltage_mv, offset=offset)} is advised"
        point = (advice.clock_mhz, advice.voltage_mv)
        below = f", {beside_stock(point, stock)}" if stock and undervolted(point, stock) else ""
    else:
        then = f"no voltage is advised: {advice.withheld}" if advice.withheld else "nothing is advised"
    short = then.partition(":")[0]
    below = below.removesuffix(AT_STOCK)
    fuller = (
        f"At {at} the edge of the {part} lies near {edge}; {then}{below}",
        f"At {at} the edge lies near {edge}; {then}{below}",
    )
    return (
        *(fuller if below else ()),
        f"At {at} the edge of the {part} lies near {edge}; {then}",
        f"At {at} the edge lies near {edge}; {then}",
        f"Edge near {edge} at {at}; {short}",
        capital(short),
    )


def claim_titles(claim: Claim, load: str) -> tuple[str, ...]:
    """What hours at a point claim: wordings, the fullest first."""
    seen = f"{capital(failures_words(claim.failures))} in {hours_words(claim.hours)}"
    bound = f"at {level_words(LEVEL)} {bound_words(claim)}"
    of, less = f" of {isolated(load)}", "" if claim.against is None else ", though an easier point failed"
    return (
        f"{seen}{of} {room_words(claim)}{against_words(claim.against)}: {bound}",
        f"{seen}{of}{against_words(claim.against)}: {bound}",
        f"{seen}{of}{less}: {bound}",
        f"{seen}{less}: {bound}",
    )


def heat_titles(hottest_c: float, minutes: float, off_c: float | None) -> tuple[str, ...]:
    """What a log of temperatures and its fitted model tell: wordings, the fullest first."""
    seen = f"Up to {with_unit(number(hottest_c), '°C')} in {with_unit(number(minutes), 'min')}"
    if off_c is None:
        return (f"{seen}; no model is fitted", seen)
    off = kelvins(math.ceil(10 * off_c - 1e-9) / 10, 1)
    return (
        f"{seen}; half of the readings lie within {off} of the fitted model",
        f"{seen}; half of it within {off} of the model",
        seen,
    )


def watts_titles(gain: Band, point: tuple[float, float], *, offset: bool, alone: bool) -> tuple[str, ...]:
    """What a joule buys at the best of the advised points: wordings, the fullest first.

    `gain` is its work for a joule over stock's, as a ratio; `alone` says that no other clock is advised.
    """
    at, clock = point_words(*point, offset=offset), clock_words(point[0])
    far = with_unit(percent_span(gain.value, gain.low, gain.high).magnitude.digits(), "%")
    if gain.low < 1 < gain.high:
        if alone:
            same = "does as much work for a joule as stock, as far as trials tell"
            return (f"{at} {same}", f"{clock} {same}", "As much work for a joule as stock")
        open_ = "but trials do not tell it from stock"
        return (f"{at} does the most work for a joule, {open_}", f"{clock} does most for a joule, {open_}",
                "No clock is told from stock by its joules")  # fmt: skip
    more = f"{far} {'more' if gain.value > 1 else 'less'}"
    if alone:
        return (f"{at} does {more} work for a joule than stock",
                f"{clock} does {more} for a joule than stock",
                f"{capital(more)} work for a joule than stock")  # fmt: skip
    if gain.value > 1:
        return (f"{at} does the most work for a joule: {more} than stock",
                f"{clock} does the most for a joule: {more} than stock",
                f"Most for a joule at {clock}, {far} over stock")  # fmt: skip
    none = "No advised clock does more work for a joule than stock"
    return (f"{none}: the best, {at}, does {far} less", f"{none}: {clock} does {far} less", none)
