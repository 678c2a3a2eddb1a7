"""What a tuned part draws as sentences, the same on page and command line, and as an answer for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from evenhand.desk.tuning.watts import BestClock, NoPoint, OfMeter, Share, WattsNow
from evenhand.publish.tuning import watts as say
from evenhand.publish.tuning.words import point_words
from evenhand.tuning.bands import Band
from evenhand.tuning.watts import Drawn

Answer = dict[str, Any]


def watts_said(now: WattsNow) -> tuple[str, ...]:
    """Everything that is known of watts, as sentences; what is lacking where nothing is."""
    if not now.meters:
        return (say.NOTHING_READ,)
    mixed = (say.APART,) if len(now.meters) > 1 else ()
    return (*mixed, *(said for each in now.meters for said in meter_said(each, offset=now.tuned.offset)))


def meter_said(found: OfMeter, *, offset: bool) -> Iterator[str]:
    """What the trials of one meter tell."""
    yield from points_said(found, offset=offset)
    yield from best_said(found, offset=offset)
    yield from grounds_said(found)


def points_said(found: OfMeter, *, offset: bool) -> Iterator[str]:
    """What is drawn at stock and at the advised point, or why that is not known."""
    if found.metered.power is None:
        yield say.lack_words(found.metered)
    for each in found.at:
        point = point_words(each.clock_mhz, each.voltage_mv, offset=offset)
        yield say.share_words(point, each.watts, each.switching, warm_c=each.temperature_c)


def best_said(found: OfMeter, *, offset: bool) -> Iterator[str]:
    """The clock with the most work for a joule, or why none is named."""
    if found.lacks is not None:
        yield say.NO_STOCK if found.lacks is NoPoint.NO_STOCK else say.NO_ADVICE
    if found.best is None:
        return
    best = found.best
    point = point_words(best.here.clock_mhz, best.here.voltage_mv, offset=offset)
    if best.clocks == 1:
        yield say.only_words(best.efficient, point, found.metered.meter)
        return
    yield " ".join(say.best_words(best.efficient, point, found.metered.meter, end=best.end))


def grounds_said(found: OfMeter) -> Iterator[str]:
    """How that is known: the law that was fitted, and what is taken of work."""
    if found.metered.power is not None:
        yield from say.law_words(found.metered, found.metered.power)
    if found.best is not None and not found.best.same_clock:
        taken = found.best.elasticity
        yield say.elasticity_words(taken.known, len(taken.tests), cooled=found.best.cooled)


def watts_answer(now: WattsNow) -> Answer:
    """``watts --json``."""
    return {
        "setup": now.tuned.setup,
        "part": now.tuned.part,
        "meters": [_meter(each) for each in now.meters],
        "words": list(watts_said(now)),
    }


def _meter(found: OfMeter) -> Answer:
    read, power = found.metered, found.metered.power
    return {
        "watts_at": read.meter.value,
        "trials": [trial.id for trial in read.trials],
        "points": read.points,
        "left_out": read.left,
        "without_temperature": read.unread,
        "lack": None if read.lack is None else read.lack.value,
        "law": None if power is None else _law(power),
        "at": [_share(each) for each in found.at],
        "most_per_joule": None if found.best is None else _best(found.best),
        "none_named": None if found.lacks is None else found.lacks.value,
    }


def _law(power: Drawn) -> Answer:
    return {
        "switched_nf": _band(power.switched_nf),
        "besides_w": _band(power.resting_w),
        "at_mv": 1000 * power.middle_v,
        "at_c": power.middle_c,
        "leaks": power.leaks.value,
        "form_told": power.sure,
        "per_v": float(power.values[2]),
        "per_v_told": power.volts_told,
        "per_k": float(power.values[3]),
        "per_k_told": power.heat_told,
        "scatter": power.scatter,
    }


def _share(share: Share) -> Answer:
    return {
        "clock_mhz": share.clock_mhz,
        "voltage_mv": share.voltage_mv,
        "watts": _band(share.watts),
        "switching_w": _band(share.switching),
        "at_c": share.temperature_c,
    }


def _best(best: BestClock) -> Answer:
    return {
        "clock_mhz": best.here.clock_mhz,
        "voltage_mv": best.here.voltage_mv,
        "clocks_mhz": [best.efficient.clock_mhz.low, best.efficient.clock_mhz.high],
        "gain": _band(best.efficient.gain),
        "rate": _band(best.efficient.rate),
        "at_an_end": best.efficient.at_an_end,
        "elasticity": best.elasticity.known.value,
        "elasticity_tests": list(best.elasticity.tests),
        "cooled": best.cooled,
        "line": [
            {"clock_mhz": clock, "voltage_mv": voltage, "watts": _band(watts), "gain": _band(gain)}
            for (clock, voltage), watts, gain in zip(
                best.line.points, best.line.along.watts, best.line.along.gain, strict=True
            )
        ],
    }


def _band(band: Band) -> list[float]:
    """From where, the value, to where."""
    return [band.low, band.value, band.high]
