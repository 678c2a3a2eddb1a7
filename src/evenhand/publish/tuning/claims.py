"""What hours of trials claim, in words.

No word here says that a part holds for good: a claim names its hours, its load, its room and its bound.
"""

from __future__ import annotations

import math

from evenhand.publish.direction import isolated
from evenhand.publish.numbers import count_word, counted, level_words, number, with_unit
from evenhand.publish.tuning.words import hours_words, point_words
from evenhand.tuning.claims import LEVEL, Against, Claim, hours_to_claim

BARE = "stable"
"""The word that no hours bear out, and that is never said without them."""


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


def against_words(against: Against | None) -> str:
    r"""What failed though it asks no more of the part, as it follows what held; "" where nothing did.

    >>> found = Against(clock_mhz=4650, voltage_mv=1245, failures=1, hours=24.5)
    >>> against_words(found).replace("\u00a0", " ")
    ', though 4,650 MHz at 1,245 mV, which asks less of the part, failed once in 24 h 30 min'
    """
    if against is None:
        return ""
    at = point_words(against.clock_mhz, against.voltage_mv, offset=against.offset)
    often = {1: "once", 2: "twice"}.get(against.failures, f"{count_word(against.failures)} times")
    when = f"{often} in {hours_words(against.hours)}" if against.hours > 0 else "at once"
    also = f", and so did {counted(against.others, 'point')} more" if against.others else ""
    return f", though {at}, which asks less of the part, failed {when}{also}"


def seen_words(claim: Claim, load: str) -> str:
    """What was seen: hours, load, room, failures; it begins in the middle of a sentence."""
    seen = f"{failed_words(claim)} in {hours_words(claim.hours)} of {isolated(load)} {room_words(claim)}"
    return f"{seen}{against_words(claim.against)}"


def claim_words(claim: Claim, load: str) -> str:
    """What hours at a point claim, as a sentence."""
    if not claim.hours > 0:
        return f"It failed as soon as {isolated(load)} ran: there are no hours that could claim anything."
    seen = f"In {hours_words(claim.hours)} of {isolated(load)} {room_words(claim)} {failed_words(claim)}"
    return f"{seen}{against_words(claim.against)}; at {level_words(LEVEL)} {bound_words(claim)}."


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
