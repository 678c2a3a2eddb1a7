"""What is known of a study's tuned parts in numbers, for those who write about them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.beside_stock import drew
from evenhand.desk.tuning.gained import Gained, gained_of
from evenhand.desk.tuning.gained_said import worth_said
from evenhand.desk.tuning.heat import HeatNow, last_told
from evenhand.desk.tuning.held import compared_parts, standing_of
from evenhand.desk.tuning.standing import TuningNow
from evenhand.desk.tuning.watts import OfMeter
from evenhand.findings.finding import Finding, Index
from evenhand.findings.outcomes import LEVEL_INTERVAL
from evenhand.publish.spans import percent, percent_span
from evenhand.publish.standing import shown_by_bounds, standing
from evenhand.publish.tuning.heat import doubt_words
from evenhand.publish.tuning.stock import stock_point
from evenhand.records.trials import Meter, Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.advice import Advice
from evenhand.tuning.bands import LEVEL, Band
from evenhand.tuning.figured import Of, TunedFigure
from evenhand.tuning.heat_outlook import HeatAsked, as_known, outlook


def figures_now(wb: Workbench, record: StudyOnRecord) -> tuple[TunedFigure, ...]:
    """Every figure of parts of compared setups, part after part; worked out once while nothing changes."""
    return record.once("figures of tuned parts", lambda _: tuple(_figures(wb, record)))


def _figures(wb: Workbench, record: StudyOnRecord) -> Iterator[TunedFigure]:
    parts = compared_parts(wb, record)
    for tuned in parts:
        standing = tuple(standing_of(wb, record, tuned))
        if standing:
            yield from _limits(tuned)
        for now in standing:
            yield from _advised(now)
            yield from _added(now)
            for meter in watts_of_study(wb, record, now).meters:
                yield from _drawn(now, meter)
        yield from _warmth(wb, tuned)
    for setup in {tuned.setup: tuned for tuned in parts}:
        found = gained_of(wb, record, setup)
        if isinstance(found, Gained):
            yield from _gained(found, worth_said(wb, record, setup).answer)


def _limits(tuned: Tuned) -> Iterator[TunedFigure]:
    """The most that is allowed of each quantity, the lowest where several are on record."""
    for quantity in dict.fromkeys(limit.quantity for limit in tuned.limits):
        limit = tuned.limit(quantity)
        if limit is not None:
            yield TunedFigure(
                of=Of.LIMIT, setup=tuned.setup, part=tuned.part, value=limit.most, unit=quantity.unit,
                limit=limit,
            )  # fmt: skip


def _of_series(now: TuningNow) -> dict[str, Any]:
    series = now.series
    return {
        "setup": series.tuned.setup, "part": series.tuned.part, "load": series.load,
        "settings": series.settings, "offset": series.tuned.offset, "n": len(series.trials),
    }  # fmt: skip


def _advised(now: TuningNow) -> Iterator[TunedFigure]:
    """What is advised for each clock, with edge, guard band and reserve; nothing where nothing is advised."""
    wanted = None if now.wanted is None else now.wanted.advice.clock_mhz
    for advice in now.advice:
        if advice.voltage_mv is None:
            continue
        point = {"clock_mhz": advice.clock_mhz, "voltage_mv": advice.voltage_mv, "goal": advice.goal}
        own = _of_series(now) | point | {"spoken": advice.clock_mhz == wanted}
        yield from _by_clock(advice, own) if advice.edge_mhz is not None else _by_voltage(advice, own)


def _by_voltage(advice: Advice, own: dict[str, Any]) -> Iterator[TunedFigure]:
    assert advice.voltage_mv is not None
    yield TunedFigure(of=Of.ADVISED, value=advice.voltage_mv, unit="mV", **own)
    yield from _enough(advice.needed_mv, "mV", own)
    yield from _with_edge(advice.edge_mv, (advice.guard_band_mv, advice.reserve_mv), "mV", own)


def _by_clock(advice: Advice, own: dict[str, Any]) -> Iterator[TunedFigure]:
    """Of a part whose clock alone is tuned."""
    yield TunedFigure(of=Of.ADVISED, value=advice.clock_mhz, unit="MHz", **own)
    yield from _enough(advice.meets_mhz, "MHz", own)
    yield from _with_edge(advice.edge_mhz, (advice.guard_band_mhz, advice.reserve_mhz), "MHz", own)


def _enough(needed: tuple[float, float] | None, unit: str, own: dict[str, Any]) -> Iterator[TunedFigure]:
    """What most likely meets the goal, and what does so surely enough."""
    if needed is not None and all(map(math.isfinite, needed)):
        yield TunedFigure(of=Of.ENOUGH, value=needed[0], surely=needed[1], unit=unit, **own)


def _with_edge(
    edge: tuple[float, float, float] | None, kept: tuple[float | None, float | None], unit: str,
    own: dict[str, Any],
) -> Iterator[TunedFigure]:  # fmt: skip
    if edge is not None and math.isfinite(edge[1]):
        low, middle, high = edge
        yield TunedFigure(of=Of.EDGE, value=middle, low=low, high=high, level=LEVEL, unit=unit, **own)
    for of, value in zip((Of.GUARD_BAND, Of.RESERVE), kept, strict=True):
        if value is not None:
            yield TunedFigure(of=of, value=value, unit=unit, **own)


def _added(now: TuningNow) -> Iterator[TunedFigure]:
    """What trials at the advised point drew on top of stock, in whole watts of both, by each meter."""
    stock, wanted = stock_point(now.series.tuned), now.wanted and now.wanted.advice
    if stock is None or not wanted or wanted.voltage_mv is None:
        return
    for meter, there, before in drew(now, (wanted.clock_mhz, wanted.voltage_mv), stock):
        point = {"clock_mhz": wanted.clock_mhz, "voltage_mv": wanted.voltage_mv, "spoken": True}
        yield TunedFigure(
            of=Of.ADDED, value=float(round(there) - round(before)), unit="W", meter=meter,
            **_of_series(now) | point,
        )  # fmt: skip


def _drawn(now: TuningNow, found: OfMeter) -> Iterator[TunedFigure]:
    """What stock and the advised point draw by the law, and work for a joule at the best clock."""
    stock, own = stock_point(now.series.tuned), _of_series(now) | {"meter": found.metered.meter}
    for each in found.at:
        point = (each.clock_mhz, each.voltage_mv)
        yield TunedFigure(
            of=Of.DRAW, unit="W", clock_mhz=point[0], voltage_mv=point[1], stock=point == stock,
            spoken=point != stock, **own | _ends(each.watts) | {"n": len(found.metered.trials)},
        )  # fmt: skip
    if found.best is not None:
        gain, at = found.best.efficient.gain, found.best.here
        ratio = {"value": percent(gain.value), "low": percent(gain.low), "high": percent(gain.high)}
        yield TunedFigure(
            of=Of.WORK, unit="%", level=LEVEL, clock_mhz=at.clock_mhz, voltage_mv=at.voltage_mv,
            spoken=True, **own | ratio,
        )  # fmt: skip


def _ends(band: Band) -> dict[str, Any]:
    """A band as a figure has it; without ends where nothing bounds it."""
    if not (math.isfinite(band.low) and math.isfinite(band.high)):
        return {"value": band.value}
    return {"value": band.value, "low": band.low, "high": band.high, "level": LEVEL}


def _warmth(wb: Workbench, tuned: Tuned) -> Iterator[TunedFigure]:
    """Where the part settles in the hottest room, what is left to its limit, and degrees for a watt."""
    now = last_told(wb, tuned)
    if now is None or now.fit is None:
        return
    found = outlook(now.fit, tuned, HeatAsked())
    own = _of_log(now) | {"room_c": found.room_c, "watts": found.watts}
    yield TunedFigure(of=Of.STEADY, unit="°C", **own | _ends(found.steady))
    if found.headroom is not None and found.limit is not None:
        yield TunedFigure(of=Of.HEADROOM, unit="°C", limit=found.limit, **own | _ends(found.headroom))
    yield TunedFigure(of=Of.WARMING, unit="°C/W", **own | _ends(as_known(now.fit, now.fit.whole())))


def _of_log(now: HeatNow) -> dict[str, Any]:
    fell = (now.fell_said,) if now.fell is not None else ()
    return {
        "setup": now.tuned.setup, "part": now.tuned.part, "spoken": True,
        "doubts": (*fell, *map(doubt_words, now.doubts)),
    }  # fmt: skip


def _gained(found: Gained, answer: str) -> Iterator[TunedFigure]:
    """What runs gained over stock, by test and over all, with watts and work for a joule at the wall."""
    own: dict[str, Any] = {"setup": found.tuned, "part": "", "over": found.stock, "answer": answer}
    told: list[tuple[str, Finding | Index]] = [(each.test, each) for each in found.comparison.findings]
    if found.overall is not None:
        told.append(("", found.overall))
    for test, each in told:
        span = standing(each)
        if span is not None:
            level = None if span.low is None else LEVEL_INTERVAL if shown_by_bounds(each) else LEVEL
            yield TunedFigure(
                of=Of.GAIN, unit="%", value=span.value, low=span.low, high=span.high, level=level, test=test,
                n=each.n_a + each.n_b if isinstance(each, Finding) else None, **own,
            )  # fmt: skip
    yield from (replace(each, test="", meter=Meter.WALL) for each in _at_the_wall(found, own))


def _at_the_wall(found: Gained, own: dict[str, Any]) -> Iterator[TunedFigure]:
    added = None if found.watts is None else found.watts.added_w
    if added is not None:
        ends = _ends(added) if isinstance(added, Band) else {"value": added}
        yield TunedFigure(of=Of.ADDED, unit="W", **own | ends)
    if found.per_joule is not None:
        span = percent_span(found.per_joule.value, found.per_joule.low, found.per_joule.high)
        ends = {"value": span.value, "low": span.low, "high": span.high, "level": LEVEL}
        yield TunedFigure(of=Of.WORK, unit="%", **own | ends)
