"""Figures of tuned parts in words: with interval, what each is of, and what has to be known with it."""

from __future__ import annotations

import math

from evenhand.findings.outcomes import LEVEL_INTERVAL
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import MOST_DECIMALS, as_written, level_words, number, with_unit
from evenhand.publish.spans import Span
from evenhand.publish.tuning.advice import target_words
from evenhand.publish.tuning.bands import WATTS_DECIMALS, banded, degrees, kelvins, watts_words
from evenhand.publish.tuning.gain import CARE
from evenhand.publish.tuning.heat import COMES_ON_TOP, FIXED
from evenhand.publish.tuning.words import clock_words, limit_words, point_words, voltage_words
from evenhand.tuning.advice import Goal
from evenhand.tuning.bands import Band
from evenhand.tuning.figured import BY_THE_LAW, OF_HEAT, Of, TunedFigure

ONE_PART = (
    "It holds for this one part, this load, these settings and rooms up to {room}. Copy no voltage and no "
    "clock from here: another part of the same model has another edge."
)
ONE_LOAD = "It is of this load, these settings and this meter: under another load it draws something else."
READ = "Look it up for your own part: another revision may have another limit."


def figure_words(figure: TunedFigure) -> tuple[str, str]:
    """A figure alone, and with its interval or with what it is for."""
    if figure.of is Of.ADVISED:
        alone = _set(figure)
        return alone, alone if figure.goal is None else f"{alone} for at most {target_words(figure.goal)}"
    if figure.of is Of.ENOUGH:
        return _enough(figure)
    if figure.of is Of.EDGE:
        return _edge(figure)
    if figure.of is Of.LIMIT:
        return _allowed(figure)
    if figure.of in OF_HEAT:
        return _warm(figure)
    if figure.of in (Of.GUARD_BAND, Of.RESERVE):
        alone = with_unit(number(figure.value), figure.unit)
        return alone, alone
    return _more_or_less(figure) if figure.of in (Of.ADDED, Of.WORK) else _spanned(figure, _span(figure))


def _set(figure: TunedFigure) -> str:
    return (
        clock_words(figure.value)
        if figure.unit == "MHz"
        else voltage_words(figure.value, offset=figure.offset)
    )


def _enough(figure: TunedFigure) -> tuple[str, str]:
    """What is most likely enough, and with it what is so as surely as is asked."""
    offset = figure.offset and figure.unit == "mV"
    alone = with_unit(number(figure.value, signed=offset), figure.unit)
    if figure.surely is None or figure.goal is None:
        return alone, alone
    surely = with_unit(number(figure.surely, signed=offset), figure.unit)
    return alone, f"{alone}, and {surely} at {level_words(figure.goal.share)}"


def _edge(figure: TunedFigure) -> tuple[str, str]:
    """The edge in whole units, with its interval."""
    offset = figure.offset and figure.unit == "mV"
    low, middle, high = (
        number(each or 0.0, signed=offset) for each in (figure.low, figure.value, figure.high)
    )
    alone = with_unit(middle, figure.unit)
    return alone, f"{alone} ({low} to {high})"


def _allowed(figure: TunedFigure) -> tuple[str, str]:
    alone = with_unit(as_written(figure.value), figure.unit)
    if figure.unit in ("mV", "MHz"):
        alone = with_unit(number(figure.value, 0 if figure.value.is_integer() else 1), figure.unit)
    return alone, alone


def _warm(figure: TunedFigure) -> tuple[str, str]:
    band = Band(value=figure.value, low=_end(figure.low), high=_end(figure.high))
    if figure.of is Of.WARMING:
        return with_unit(number(figure.value, 2), figure.unit), banded(band, figure.unit, 2)
    if figure.of is Of.HEADROOM:  # how far two temperatures lie apart
        return kelvins(figure.value), banded(band, "K", 0)
    return degrees(figure.value), banded(band, figure.unit, 0)


def _end(value: float | None) -> float:
    return math.inf if value is None else value


def _span(figure: TunedFigure) -> Span:
    note = level_words(LEVEL_INTERVAL) if figure.level == LEVEL_INTERVAL else ""
    finest = WATTS_DECIMALS if figure.unit == "W" else MOST_DECIMALS
    return Span(value=figure.value, low=figure.low, high=figure.high, alone=2, note=note, finest=finest)


def _spanned(figure: TunedFigure, span: Span) -> tuple[str, str]:
    return with_unit(span.digits(), figure.unit), span.words(figure.unit)


def _more_or_less(figure: TunedFigure) -> tuple[str, str]:
    """Held against stock, told without a sign."""
    way = "more" if figure.value >= 0 else "less"
    if figure.low is None and figure.unit == "W":
        alone = f"{watts_words(abs(figure.value))} {way}"
        return alone, alone
    alone, ranged = _spanned(figure, _span(figure).magnitude)
    return f"{alone} {way}", f"{ranged} {way}"


def figure_meaning(figure: TunedFigure, names: Names) -> str:
    """What a figure is, in a few words."""
    at = "" if figure.at_clock is None else f" at {clock_words(figure.at_clock)}"
    room = "in the room of the log" if figure.room_c is None else f"in a room of {degrees(figure.room_c)}"
    load = "" if figure.watts is None else f" at {watts_words(figure.watts)}"
    under = f" under {isolated(figure.load)}" if figure.load else ""
    what = "voltage" if figure.unit == "mV" else "clock"
    if figure.of is Of.LIMIT and figure.limit is not None:
        limit = figure.limit
        who = "we" if limit.own else "its maker"
        return f"the most that {who} allow{'' if limit.own else 's'} of its {limit.quantity.value}"
    if figure.of in (Of.DRAW, Of.ADDED, Of.WORK, Of.GAIN):
        return _beside_stock(figure, names)
    return {
        Of.ADVISED: f"the {what} that is advised{at}{under}",
        Of.ENOUGH: f"the {what} that most likely meets what is asked{at}{under}",
        Of.EDGE: f"the {what} at which it begins to fail{at}{under}, the middle of what trials tell",
        Of.GUARD_BAND: f"how far what is advised{at}{under} stays from the edge",
        Of.RESERVE: f"what of the guard band{at}{under} is for what the trials leave open",
        Of.STEADY: f"where its temperature settles {room}{load}",
        Of.HEADROOM: f"how far that stays below the most that its maker allows, {room}{load}",
        Of.WARMING: "how many degrees warmer it gets for every watt",
    }[figure.of]


def _beside_stock(figure: TunedFigure, names: Names) -> str:
    """What is drawn, and what is more or less than at stock."""
    meter = "" if figure.meter is None else f", read at the {figure.meter.value}"
    if figure.test is not None:
        where = f"in {names.test(figure.test)}" if figure.test else "over all tests"
        return {
            Of.GAIN: f"what tuning gained over stock {where}",
            Of.ADDED: f"what it draws held against stock {where}{meter}",
            Of.WORK: f"work for a joule held against stock {where}{meter}",
        }[figure.of]
    point = ""
    if figure.clock_mhz is not None and figure.voltage_mv is not None:
        point = point_words(figure.clock_mhz, figure.voltage_mv, offset=figure.offset)
    return {
        Of.DRAW: f"what it draws by the law of its trials: {point}{meter}",
        Of.ADDED: f"what trials drew held against stock: {point}{meter}",
        Of.WORK: f"work for a joule held against stock where it is most: {point}{meter}",
    }[figure.of]


def figure_source(figure: TunedFigure, whose: str, counted_trials: str) -> str:
    """What a figure was worked out from."""
    if figure.limit is not None and figure.of is Of.LIMIT:
        return f"{whose}: {limit_words(figure.limit)}"
    if figure.of in OF_HEAT:
        return f"{whose}: its last log of temperatures"
    return f"{whose}: {counted_trials}"


def figure_caution(figure: TunedFigure) -> str:
    """What has to be known with it, as sentences."""
    if figure.of in BY_THE_LAW:
        return ONE_PART.format(room=_room(figure.goal))
    if figure.of is Of.LIMIT:
        return READ
    if figure.of in OF_HEAT:
        return " ".join((*figure.doubts, FIXED, COMES_ON_TOP))
    if figure.test is not None:
        return " ".join((*figure.doubts, CARE))
    return ONE_LOAD


def _room(goal: Goal | None) -> str:
    return "those that were read" if goal is None else degrees(goal.room_c)
