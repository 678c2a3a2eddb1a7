"""What a temperature log and its network tell, in words: how warm it gets, how near its limit, what if."""

from __future__ import annotations

import math
from collections.abc import Iterator

from evenhand.errors import EvenhandError
from evenhand.publish.numbers import as_written, capital, number, with_unit
from evenhand.publish.tuning.bands import banded, degrees, ends, kelvins, time_banded, time_words, watts_words
from evenhand.publish.tuning.words import whose_words
from evenhand.records.trials import Limit
from evenhand.tuning.bands import Band, reach
from evenhand.tuning.heat_doubts import Doubt, Held
from evenhand.tuning.heat_outlook import HeatOutlook, Under
from evenhand.tuning.heat_rest import RestChecked
from evenhand.tuning.throttled import Throttled

FAR_C = 5.0  # a clock that falls so far below the limit most likely falls for another reason

FIXED = (
    "This holds at the fan's speed and the power of the log: a fan that speeds up cools better, and a warmer "
    "part leaks more."
)
COMES_ON_TOP = "What the sensor and the meter are off by comes on top of every band."

HOW = (
    "Let the machine rest for ten minutes, load the part evenly for half an hour or longer, halve the load, "
    "let it rest again; write down its temperature and watts each second, and read the room at the air inlet."
    " Stay beside it, and stop at once where a temperature nears its limit or a fan or a pump stands still."
)
"""What a log has to hold, and with what care it is made."""


def settles_words(found: HeatOutlook) -> str:
    """The sentence that everything opens with: room, power, where it settles, how far from the limit."""
    settles = f"{_settles(found.headroom)} at {_temperature(found.steady)}"
    return f"{_place(found)} it {settles}{_left(found.headroom, found.limit)}."


def _settles(left: Band | None) -> str:
    """What is past a limit is never seen to settle there."""
    return "would settle" if left is not None and left.value < 0 else "settles"


def _place(found: HeatOutlook) -> str:
    room = "In the room of the log, which nobody read," if found.room_c is None else (
        f"In a room of {degrees(found.room_c, 0 if float(found.room_c).is_integer() else 1)}"
    )  # fmt: skip
    return f"{room} at {watts_words(found.watts)}{' under load' if found.load_alone else ''}"


def _temperature(band: Band) -> str:
    if not math.isfinite(band.high):
        return f"about {degrees(band.value)}"
    between = ends(band)
    return degrees(band.value) + (f" ({between})" if between else "")


def _left(left: Band | None, limit: Limit | None) -> str:
    """How far that is from the limit, whose it is, and on which side."""
    if left is None or limit is None:
        return "; no limit of its temperature by the maker is noted, so nothing is said of what is left"
    most = f"{whose_words(limit)} limit of {with_unit(as_written(limit.most), '°C')}"
    if not math.isfinite(left.high):
        side = "above" if left.value < 0 else "below"
        return f", about {number(abs(left.value))} {side} {most}; how far off that is cannot be told"
    if left.value < 0:
        over = Band(value=-left.value, low=-left.high, high=-left.low)
        return f", {_apart(over)} above {most}{'' if limit.own else ': it would be slowed, or harmed'}"
    if left.low < 0:
        return f", near {most}, which it may pass"
    return f", {_apart(left)} below {most}"


def _apart(by: Band) -> str:
    """How far two temperatures lie apart, in whole degrees."""
    if by.low < 1:
        return f"up to {number(math.ceil(by.high))}"
    return ends(by) or number(by.value)


def short_titles(found: HeatOutlook) -> tuple[str, ...]:
    """The same over a picture, the fullest wording first, without its full stop."""
    whole = settles_words(found).removesuffix(".")
    under = " under load" if found.load_alone else ""
    at = f"{watts_words(found.watts)}{under} settle at {degrees(found.steady.value)}"
    limit = "" if found.limit is None else f", limit {with_unit(as_written(found.limit.most), '°C')}"
    if found.room_c is None:
        return (whole, f"{at}{limit}", at)
    room = f"At {degrees(found.room_c)} in the room {at}"
    return (whole.partition(";")[0], f"{room}{limit}", room, at)


def outlook_sentences(found: HeatOutlook) -> Iterator[str]:
    """What leads to the limit, what another cooler does, and why something that was asked is not told."""
    if found.low:
        yield from _of_little(found.rest)
    if found.at_limit_w is not None and found.at_limit_room_c is not None and found.room_c is not None:
        yield (
            f"It would settle at the limit at {_watts(found.at_limit_w)} in this room, or at "
            f"{watts_words(found.watts)} in one of {_temperature(found.at_limit_room_c)}."
        )
        yield _reached(found)
    if found.under is not None:
        whole = Band(
            value=found.under.c_per_w.value, low=found.under.c_per_w.value - reach() * found.under.c_per_w.sd,
            high=found.under.c_per_w.value + reach() * found.under.c_per_w.sd,
        )  # fmt: skip
        settles = f"{_settles(found.under.headroom)} at {_temperature(found.under.steady)}"
        yield (
            f"Under the other cooler, {banded(whole, '°C/W', 2)} in all, it {settles}"
            f"{_left(found.under.headroom, found.limit)}. How long that takes hangs on the cooler's mass, "
            "and is not told."
        )
        yield _instead(found.under)
    refused = (trouble_words(each) for each in (found.no_room, found.no_cooler) if each is not None)
    yield from dict.fromkeys(refused)


def _of_little(rest: RestChecked | None) -> Iterator[str]:
    """How far off the forecast of so little power may be, by the log's own rest."""
    if rest is None:
        yield (
            "At so little power nothing was held against it: the log has no rest after load that would tell."
        )
    elif rest.differs:
        way = "warmer" if rest.mean_c > 0 else "cooler"
        yield (
            f"At so little power it is likely {way} than that: at rest after load it was so in the log, by "
            f"{kelvins(abs(rest.mean_c), 1)} on average."
        )


def _instead(under: Under) -> str:
    """What another cooler's °C/W take the place of, and what has to be in them."""
    exact = "" if under.own.sd > 0 else " They are taken as exact, so that the range is too narrow: say how "
    exact += "" if under.own.sd > 0 else "far off they may be."
    return (
        f"Its {with_unit(as_written(under.own.value), '°C/W')} stand in place of the whole stage of "
        f"{banded(under.instead_of, '°C/W', 3)}, which holds chip, lid and paste beneath the cooler too: "
        f"where they are of the cooler alone, it gets warmer by what lies beneath.{exact}"
    )


def _watts(band: Band) -> str:
    between = ends(band)
    return watts_words(band.value) + (f" ({between})" if between else "")


def _reached(found: HeatOutlook) -> str:
    begun = f"From {watts_words(found.rest_w)} at rest" if found.rest_w else "From cold"
    if found.reached_s is None:
        return f"{begun} it does not get there at {watts_words(found.watts)}."
    if not math.isfinite(found.reached_s.value):
        return f"{begun} it most likely does not get there at {watts_words(found.watts)}."
    return f"{begun} it would get there after {time_banded(found.reached_s)} of {watts_words(found.watts)}."


def fell_words(fell: Throttled, limit: Limit | None, settles: Band | None = None) -> str:
    """Where a clock fell in the log, how warm the part was, how far from the limit.

    `settles` is where its network would have had it settle at that power.
    """
    fall = fell.fall
    at = [f"at {degrees(fell.temperature_c)}"] if fell.temperature_c is not None else []
    at += [f"at {watts_words(fell.watts)}"] if fell.watts is not None else []
    said = (
        f"In the log its clock fell from {with_unit(number(fall.from_mhz), 'MHz')} to "
        f"{with_unit(number(fall.to_mhz), 'MHz')} after {time_words(fall.begins_s)}"
    )
    said += f", {' and '.join(at)}" if at else ""
    said += _fell_from(fell, limit)
    if settles is None:
        return f"{said}."
    return f"{said}. At that power it would have settled at {_temperature(settles)}, by its network."


def _fell_from(fell: Throttled, limit: Limit | None) -> str:
    """How far from the limit a part was when its clock fell."""
    if limit is None or fell.temperature_c is None:
        return ""
    left = limit.most - fell.temperature_c
    most = f"{whose_words(limit)} limit of {with_unit(as_written(limit.most), '°C')}"
    if abs(left) < 1:
        return f": at {most}"
    if left > FAR_C:
        return f": {kelvins(left)} below {most}, so that something else may have slowed it"
    return f": {kelvins(abs(left))} {'below' if left > 0 else 'above'} {most}"


def doubt_words(doubt: Doubt) -> str:
    """A doubt as a sentence."""
    return f"{capital(doubt.value)}."


def held_words(held: Held) -> str:
    """How long the power was held, and how long it takes until a part may be called steady."""
    said = f"The longest that its power was held is {time_words(held.longest_s)}"
    if held.enough:
        return f"{said}, long enough to call it steady ({time_words(held.needed_s)})."
    return f"{said}; only after {time_words(held.needed_s)} may it be called steady."


def trouble_words(trouble: EvenhandError) -> str:
    """Why something is not told, and what to do."""
    todo = f"; {trouble.todo}" if trouble.todo else ""
    return f"{capital(trouble.found)}{todo}."
