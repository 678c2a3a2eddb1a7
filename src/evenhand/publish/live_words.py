"""How findings are told while measuring goes on: short, with what comes next."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.findings.finding import Outcome, Settle
from evenhand.findings.live_finding import LiveFinding, LiveIndex
from evenhand.findings.peeking import Peeked
from evenhand.publish.durations import about_long
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    capital,
    count_word,
    counted,
    decimals_for,
    how_many_tests,
    listed,
    number,
    with_unit,
)
from evenhand.publish.spans import percent, percent_span


def so_far(where: str, stands: str) -> str:
    """The first line of a live header.

    >>> so_far("Games", "unsettled")
    'Games so far: unsettled'
    """
    return f"{where} so far: {stands}"


def where_words(found: LiveIndex | LiveFinding, names: Names) -> str:
    """Of what it speaks: a test, a group, or all tests, and of how many where not all are in it."""
    if isinstance(found, LiveFinding):
        return names.test(found.test)
    of = how_many_tests(len(found.used), len(found.tests))
    if not found.group:
        return capital(of)
    group = capital(names.group(found.group))
    return group if len(found.used) == len(found.tests) else f"{group}, {of}"


def not_in_it(found: LiveIndex | LiveFinding, names: Names) -> str:
    """Which tests an index leaves out, since they cannot be compared yet; "" where all are in it."""
    if isinstance(found, LiveFinding):
        return ""
    left = tuple(names.test(test) for test in found.tests if test not in found.used)
    return f"Not in it yet: {listed(left)}." if left else ""


def stands_words(
    found: LiveIndex | LiveFinding | Peeked, names: Names, *, lacking: Sequence[str] = ()
) -> str:
    """Where a pair stands: "unsettled, Plover +4.1 % ± 2.3", "level, Plover +0.4 % ± 1.8".

    `lacking` are those of the two setups of which no run counts.
    """
    a, b = names.setup(found.a), names.setup(found.b)
    if found.ratio is None:
        return f"{b} and {a} cannot be compared yet{lacking_words([names.setup(key) for key in lacking])}"
    about = around(found.ratio, found.low, found.high)
    if found.outcome is Outcome.AHEAD:
        return f"{a} ahead of {b}, {about}"
    if found.outcome is Outcome.BEHIND:
        return f"{a} behind {b}, {about}"
    return f"{found.outcome.value}, {a} {about}"


def lacking_words(lacking: Sequence[str]) -> str:
    """Which of two setups no run counts of.

    >>> lacking_words(["Plover"]), lacking_words(["Plover", "Dunlin"])
    (': Plover has no run that counts', ': neither has a run that counts')
    """
    if not lacking:
        return ""
    return f": {'neither has a' if len(lacking) > 1 else f'{lacking[0]} has no'} run that counts"


LOPSIDED = 0.1  # of half an interval: from here on its ends are told, since ± would tell others


def around(ratio: float, low: float | None, high: float | None) -> str:
    r"""A ratio as a difference in per cent with half its interval; with both ends where those lie unevenly.

    >>> around(1.041, 1.018, 1.064)
    '+4.1\xa0%\xa0±\xa02.3'
    >>> around(1.062, 0.861, 1.309)
    '+6\xa0% (−14 to +31)'
    """
    if low is None or high is None:
        return with_unit(number(percent(ratio), 1, signed=True), "%")
    half = 50.0 * (high - low)
    if abs((high - ratio) - (ratio - low)) * 50.0 > LOPSIDED * half:
        return percent_span(ratio, low, high).words("%", signed=True)
    digits = decimals_for(half)
    return f"{with_unit(number(percent(ratio), digits, signed=True), '%')}\u00a0±\u00a0{number(half, digits)}"


def until_settled(found: LiveIndex | LiveFinding) -> str:
    """What comes next: that it is settled, when the next look is, or what would settle it."""
    if found.outcome is not Outcome.UNSETTLED:
        at = "" if found.look is None else f" at the look at {counted(found.look, 'run')} of each"
        return f"Settled{at}: stop." if found.next_look is None else f"Settled{at}; its tests go on."
    if found.next_look is None:
        return "No further look was declared."
    told = (
        look_words(found.n, found.look, found.next_look),
        settle_words(found.settle, allowance=found.allowance),
    )
    return " ".join(filter(None, told))


def look_words(n: int, look: int | None, next_look: int) -> str:
    """Where it stands between looks; "" at a look.

    >>> look_words(4, 3, 5)
    'Between looks: the next one is at five runs of each, one more.'
    >>> look_words(1, None, 3)
    'The first look is at three runs of each, two more.'
    """
    if n == look:
        return ""
    more = f"{counted(next_look, 'run')} of each, {count_word(next_look - n)} more"
    return f"The first look is at {more}." if look is None else f"Between looks: the next one is at {more}."


def settle_words(settle: Settle | None, *, allowance: float = 0.0) -> str:
    r"""What would settle it at today's difference and spread; "" where that is not known.

    `allowance` is the error (a log) that boots and order on record cannot exclude: no further run takes it
    away, so that it is told where no look would settle it.

    >>> settle_words(Settle(more_runs=2, minutes=34.0))
    'Two more runs of each, about 34\xa0min, would settle it.'
    >>> settle_words(Settle(more_runs=1, minutes=0.2))
    'One more run of each, less than a minute, would settle it.'
    """
    if settle is None:
        return ""
    if settle.more_runs is None:
        return f"No declared look would settle it as it stands{_held_back(allowance)}."
    runs = capital(counted(settle.more_runs, "more run of each", "more runs of each"))
    minutes = "" if settle.minutes is None else f", {about_long(settle.minutes)},"
    return f"{runs}{minutes} would settle it."


def _held_back(allowance: float) -> str:
    if allowance <= 0:
        return ""
    share = with_unit(number(100.0 * math.expm1(allowance), 1), "%")
    return f": boots or order of its runs leave room for a shared error of {share}"


def planned_without_words(setups: Sequence[str], names: Names) -> str:
    """Why a pair comes to no further look: the plan does without one of them, or both."""
    who = listed(tuple(names.setup(each) for each in setups))
    back = "it is" if len(setups) == 1 else "they are"
    return f"Planned without {who}: no look is ahead. Plan anew with {who} once {back} back."


def waiting_words(waits: int) -> str:
    """Which runs are left out of it for now.

    >>> waiting_words(1), waiting_words(0)
    ('The run that waits is left out.', '')
    """
    if not waits:
        return ""
    return (
        "The run that waits is left out."
        if waits == 1
        else f"The {count_word(waits)} that wait are left out."
    )


def without_looks(more: int) -> str:
    """What evidence without declared looks is, and in how many tests (`more`) the comparison says more.

    >>> without_looks(0)
    'This holds whenever one looks. Looks declared in a plan would settle sooner.'
    """
    if not more:
        return "This holds whenever one looks. Looks declared in a plan would settle sooner."
    said = f"The comparison settles {count_word(more)} more: it takes these runs as all that were meant"
    return f"This holds whenever one looks. {said}, and nobody to have stopped by what they saw."


def only_of(a: str, b: str, *, of: int) -> str:
    """Which pair is told, where there are more than two setups.

    >>> only_of("Plover", "Dunlin", of=3), only_of("Plover", "Dunlin", of=2)
    ('Of Plover and Dunlin; the other pairs stand below.', '')
    """
    return f"Of {a} and {b}; the other pairs stand below." if of > 2 else ""
