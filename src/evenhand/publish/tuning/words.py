"""Parts, the points that they are set to, hours and limits of tuning, in words."""

from __future__ import annotations

import math
from collections.abc import Mapping

from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import as_written, counted, number, with_unit
from evenhand.records.trials import Limit, Tuned


def part_words(kind: str) -> str:
    """A part by its kind, as it stands in a sentence.

    >>> part_words("graphics"), part_words("memory")
    ('graphics card', 'memory')
    """
    return "graphics card" if kind == "graphics" else kind


def clock_words(clock_mhz: float) -> str:
    r"""A clock.

    >>> clock_words(4650.0), clock_words(3333.5)
    ('4,650\xa0MHz', '3,333.5\xa0MHz')
    """
    return with_unit(number(clock_mhz, 0 if float(clock_mhz).is_integer() else 1), "MHz")


def voltage_words(voltage_mv: float, *, offset: bool) -> str:
    r"""A voltage as the firmware writes it.

    >>> voltage_words(1255, offset=False), voltage_words(-30, offset=True), voltage_words(0, offset=True)
    ('1,255\xa0mV', '−30\xa0mV', '±0\xa0mV')
    """
    digits = number(voltage_mv, 0 if float(voltage_mv).is_integer() else 1, signed=offset)
    return with_unit("±0" if offset and not voltage_mv else digits, "mV")


def point_words(clock_mhz: float, voltage_mv: float, *, offset: bool) -> str:
    r"""A point of the map; where nothing is added to its own voltage that is said.

    >>> point_words(4650, 1240, offset=False), point_words(3200, 0, offset=True)
    ('4,650\xa0MHz at 1,240\xa0mV', '3,200\xa0MHz at its own voltage')
    """
    if offset and not voltage_mv:
        return f"{clock_words(clock_mhz)} at its own voltage"
    return f"{clock_words(clock_mhz)} at {voltage_words(voltage_mv, offset=offset)}"


def apart_words(here: float, there: float, unit: str, what: str) -> str:
    r"""How far a clock or a voltage lies from another.

    >>> apart_words(1245, 1325, "mV", "the maker's limit"), apart_words(4650, 4500, "MHz", "stock")
    ("80 mV below the maker's limit", '150 MHz above stock')
    """
    far = with_unit(number(abs(here - there)), unit)
    return f"{far} {'above' if here > there else 'below'} {what}"


def limit_words(limit: Limit) -> str:
    """The most that a maker allows, with where that is written and the day on which it was read.

    Of a limit of one's own it is said that it is.
    """
    most = with_unit(number(limit.most, 0 if float(limit.most).is_integer() else 1), limit.quantity.unit)
    return f"{most} ({source_words(limit)})"


def source_words(limit: Limit) -> str:
    """Where a limit is written and when it was read; of one's own why, and when it was set."""
    if not limit.own:
        return f"{isolated(limit.source)}, read on {day_words(limit.read_on)}"
    why = limit.source.strip()[len("ourselves") :].strip(" :,;")
    return f"our own limit{f': {isolated(why)}' if why else ''}, set on {day_words(limit.read_on)}"


def whose_words(limit: Limit) -> str:
    """Whose limit it is, as it stands before that word: the maker's, or that of whoever tunes.

    >>> from datetime import date
    >>> from evenhand.records.trials import Quantity
    >>> most = dict(quantity=Quantity.CLOCK, most=4500.0, read_on=date(2031, 5, 2))
    >>> whose_words(Limit(source="data sheet", **most)), whose_words(Limit(source="ourselves", **most))
    ("the maker's", 'our own')
    """
    return "our own" if limit.own else "the maker's"


def allowed_words(limit: Limit) -> str:
    """The most that is allowed and by whom, as a sentence."""
    return f"{'We allow no more than' if limit.own else 'The maker allows'} {limit_words(limit)}."


WHOLE_HOURS = 100  # from so many on minutes are not told


def hours_words(hours: float) -> str:
    r"""How long something ran, never more than it did.

    >>> hours_words(24), hours_words(1 / 6), hours_words(2.349), hours_words(0.004), hours_words(0)
    ('24\xa0h', '10\xa0min', '2\xa0h 20\xa0min', '14\xa0s', '0\xa0s')
    >>> hours_words(276.4)
    '276\xa0h'
    """
    whole, minutes = divmod(math.floor(60 * hours + 1e-9), 60)
    if whole >= WHOLE_HOURS:
        minutes = 0
    if whole:
        said = with_unit(number(whole), "h")
        return f"{said} {with_unit(number(minutes), 'min')}" if minutes else said
    if minutes:
        return with_unit(number(minutes), "min")
    return with_unit(number(math.floor(3600 * hours + 1e-9)), "s")


def series_words(load: str, settings: Mapping[str, str], trials: int) -> str:
    """A series of trials in a heading.

    >>> series_words("integers", {"load-line": "4"}, 12), series_words("", {}, 0)
    ('integers, load-line 4: twelve trials', 'No trial yet')
    """
    if not trials:
        return f"{isolated(load)}: no trial yet" if load else "No trial yet"
    named = ", ".join((isolated(load), *setting_words(settings)))
    return f"{named}: {counted(trials, 'trial')}"


def setting_words(settings: Mapping[str, str]) -> tuple[str, ...]:
    """What else was set, each by its name.

    >>> setting_words({"power limit": "150 W", "load-line": "4"})
    ('load-line 4', 'power limit 150 W')
    """
    return tuple(f"{isolated(name)} {isolated(value)}" for name, value in sorted(settings.items()))


def load_words(load: str, settings: Mapping[str, str]) -> str:
    """A load, and in brackets what else was set.

    >>> load_words("integers", {"load-line": "4"}), load_words("integers", {})
    ('integers (load-line 4)', 'integers')
    """
    set_too = ", ".join(setting_words(settings))
    return f"{isolated(load)} ({set_too})" if set_too else isolated(load)


def note_words(note: str) -> str:
    r"""What somebody wrote down, a reason or a note, as it stands beside other words: on one line.

    >>> note_words("side panel on\nfan at 1,450 rpm")
    'side panel on fan at 1,450 rpm'
    """
    return isolated(" ".join(note.split()))


def tuned_words(tuned: Tuned) -> str:
    """A tuned part in a sentence: stock, steps, the hottest room."""
    volts = tuned.stock_voltage_mv
    stock = clock_words(tuned.stock_clock_mhz)
    stock += "" if volts is None else f" at {voltage_words(volts, offset=False)}"
    step, how = with_unit(as_written(tuned.voltage_step_mv), "mV"), ""
    steps = f"steps of {clock_words(tuned.clock_step_mhz)} and {step}"
    if tuned.clock_alone:
        steps, how = f"steps of {clock_words(tuned.clock_step_mhz)}", ", its voltage left alone"
    elif tuned.offset:
        how = ", voltages as offsets"
    room = tuned.hottest_room_c
    hot = "" if room is None else f", rooms up to {with_unit(as_written(room), '°C')}"
    return f"Stock {stock}, {steps}{how}{hot}."
