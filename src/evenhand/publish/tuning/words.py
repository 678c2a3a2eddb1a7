"""What a tuned part was set to, how trials ended and what their hours claim, in words.

No word here says that a part holds for good: a claim names its hours, its load, its room and its bound.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import as_written, count_word, counted, level_words, number, with_unit
from evenhand.records.trials import Limit, Outcome, Trial, Tuned
from evenhand.records.turns import Turn
from evenhand.tuning.claims import LEVEL, Claim, hours_to_claim

BARE = "stable"
"""The word that no hours bear out, and that is never said without them."""

ENDED: Mapping[Outcome, str] = {
    Outcome.PASSED: "held",
    Outcome.WRONG_RESULT: "gave a wrong result",
    Outcome.ERROR: "ended with an error",
    Outcome.CRASH: "crashed or hung",
    Outcome.REBOOT: "rebooted",
    Outcome.THROTTLED: "fell below its clock",
    Outcome.STOPPED: "was stopped",
}


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


def down(value: float, digits: int) -> float:
    """A number rounded down to so many digits, so that no claim grows by being told.

    >>> down(8.0114, 2), down(3.799, 2), down(1234.5, 2), down(0.79, 2)
    (8.0, 3.7, 1200.0, 0.79)
    """
    if value <= 0 or not math.isfinite(value):
        return value
    step = 10.0 ** (math.floor(math.log10(value)) - digits + 1)
    return math.floor(value / step + 1e-9) * step


def _short(value: float) -> str:
    return f"{value:,.6g}" if value < 1000 else number(value)


def seldom_words(hours: float) -> str:
    r"""In how many hours fewer than one failure is to be expected, rounded down.

    >>> seldom_words(8.01), seldom_words(0.634), seldom_words(1001.6), seldom_words(0.004)
    ('8\xa0h', '38\xa0min', '1,000\xa0h', '14\xa0s')
    """
    return with_unit(_short(down(hours, 2)), "h") if hours >= 1 else hours_words(hours)


def failures_words(failures: int) -> str:
    """How many failures.

    >>> failures_words(0), failures_words(1), failures_words(3)
    ('no failure', 'one failure', 'three failures')
    """
    return counted(failures, "failure") if failures else "no failure"


def room_words(claim: Claim) -> str:
    r"""In which air hours were spent, as it was read.

    >>> from evenhand.tuning.claims import Claim
    >>> made = dict(hours=1.0, failures=0, trials=1, most_per_h=3.0)
    >>> room_words(Claim(rooms_c=(22.0, 25.0), unread_rooms=0, **made))
    'at 22 to 25\xa0°C'
    >>> room_words(Claim(rooms_c=None, unread_rooms=1, **made))
    'in a room that nobody read'
    """
    if claim.rooms_c is None:
        return "in a room that nobody read"
    low, high = (number(each) for each in claim.rooms_c)
    span = with_unit(low if low == high else f"{low} to {high}", "°C")
    return f"at {span}{' and in rooms that nobody read' if claim.unread_rooms else ''}"


def failed_words(claim: Claim) -> str:
    """How many failures, and how many of them something put right.

    >>> from evenhand.tuning.claims import Claim
    >>> made = dict(hours=1.0, trials=1, rooms_c=None, unread_rooms=1, most_per_h=9.0)
    >>> failed_words(Claim(failures=3, corrected=2, **made))
    'three failures (two corrected errors among them)'
    """
    said = failures_words(claim.failures)
    if not claim.corrected:
        return said
    if claim.corrected == claim.failures:
        return f"{said} ({'a corrected error' if claim.failures == 1 else 'all of them corrected errors'})"
    return f"{said} ({counted(claim.corrected, 'corrected error')} among them)"


def seen_words(claim: Claim, load: str) -> str:
    """What was seen: hours, load, room, failures; it begins in the middle of a sentence."""
    return f"{failed_words(claim)} in {hours_words(claim.hours)} of {isolated(load)} {room_words(claim)}"


def claim_words(claim: Claim, load: str) -> str:
    """What hours at a point claim, as a sentence."""
    if not claim.hours > 0:
        return f"It failed as soon as {isolated(load)} ran: there are no hours that could claim anything."
    seen = f"In {hours_words(claim.hours)} of {isolated(load)} {room_words(claim)} {failed_words(claim)}"
    return f"{seen}; at {level_words(LEVEL)} {bound_words(claim)}."


def bound_words(claim: Claim) -> str:
    """The bound alone."""
    return f"fewer than one in {seldom_words(claim.fewer_than_one_in_h)}"


def next_claim_h(claim: Claim) -> float:
    """The hours of the next claim that is worth having: one, ten, a hundred … and at least twice as many."""
    now = claim.fewer_than_one_in_h
    return next((10.0**n for n in range(12) if 10.0**n >= 2 * now), 1e12)


def more_words(claim: Claim) -> str:
    """What it would take to claim more, as a sentence."""
    target = next_claim_h(claim)
    more = hours_to_claim(1 / target, claim)
    took = with_unit(number(math.ceil(more - 1e-9)), "h")
    return f"{took} more without a failure would show fewer than one in {seldom_words(target)}."


def may_words(claim: Claim, load: str) -> tuple[str, tuple[str, ...]]:
    """What a point may be called by its hours, and what it may not."""
    may = f"{seen_words(claim, load)}, at {level_words(LEVEL)} {bound_words(claim)}"
    beyond = f"fewer than one failure in {seldom_words(next_claim_h(claim))}"
    return may, (BARE, "free of errors", beyond, f"proven under any load but {isolated(load)}")


def trial_words(trial: Trial, *, offset: bool) -> str:
    """One trial in a line: what was set, what ran, how it ended."""
    at = point_words(trial.clock_mhz, trial.voltage_mv, offset=offset)
    return f"{at}, {isolated(trial.load)}: {ended_words(trial)}"


def ended_words(trial: Trial) -> str:
    """How a trial ended, and when."""
    late = trial.outcome.failed and trial.found_after_h is not None
    if late:
        span = f"between {hours_words(trial.hours)} and {hours_words(trial.found_after_h or 0.0)}"
        said = f"{ENDED[trial.outcome]} some time {span}"
    elif trial.errors and trial.outcome in (Outcome.PASSED, Outcome.ERROR):
        said = f"ran {hours_words(trial.hours)}"
    elif trial.outcome is Outcome.PASSED:
        said = f"held {hours_words(trial.hours)}"
    else:
        said = f"{ENDED[trial.outcome]} after {hours_words(trial.hours)}"
    errors = f", {errors_words(trial)}" if trial.errors else ""
    room = "" if trial.room_c is None else f", room {with_unit(as_written(trial.room_c), '°C')}"
    hot = "" if trial.hottest_c is None else f", up to {with_unit(as_written(trial.hottest_c), '°C')}"
    return f"{said}{errors}{room}{hot}{watts_said(trial)}"


def errors_words(trial: Trial) -> str:
    """The errors that a load counted, and how many of them were put right.

    >>> errors_words(Trial(setup="a", part="memory", clock_mhz=3200, voltage_mv=0, load="x", hours=1,
    ...                    outcome=Outcome.ERROR, errors=12, corrected=9))
    'twelve counted errors, nine of them corrected'
    """
    said = counted(trial.errors, "counted error")
    if not trial.corrected:
        return said
    whole = trial.corrected == trial.errors
    return f"{said}, {'corrected' if whole else f'{count_word(trial.corrected)} of them corrected'}"


def watts_said(trial: Trial) -> str:
    """What a trial drew, and where that was read, as it follows in a sentence; "" where nobody read it."""
    if trial.watts is None or trial.watts_at is None:
        return ""
    return f", {with_unit(as_written(trial.watts), 'W')} at the {trial.watts_at.value}"


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


def turn_words(turns: Sequence[Turn]) -> tuple[str, ...]:
    """When and why something was taken back or put back; nothing where it never was."""
    return tuple(
        f"{'put' if each.counts else 'taken'} back on {day_words(each.at.date())}: {note_words(each.reason)}"
        for each in turns
    )
