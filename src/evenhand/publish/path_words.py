"""An upgrade path told as a story: what is held for how long, what is bought then, and what that comes to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import exp

from evenhand.money.courses import Course, Hold, Step, steps_of
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency


def story(owned: Sequence[str], course: Course, *, names: Mapping[str, str], months: int) -> str:
    """What is done when, in one sentence, such as "Hold it for 14 months, then put in Osk 9".

    `owned` are the keys of the machine's parts, `names` those of all parts.
    """
    steps = tuple(steps_of(owned, course.path))
    if not steps:
        return f"Hold it as it is for all {months} months."
    told, before = [], 0
    for step in steps:
        told.append(_step_words(step, before=before, owned=len(owned), names=names))
        before = step.month
    return f"{capital('; '.join(told))}."


def _step_words(step: Step, *, before: int, owned: int, names: Mapping[str, str]) -> str:
    wait = step.month - before
    held = f"hold {'that' if before else 'it'} for {counted(wait, 'month')}, then " if wait else "now "
    bought = listed(tuple(names[key] for key in step.bought))
    return held + (f"sell all of it for {bought}" if len(step.bought) == owned else f"put in {bought}")


def course_numbers(course: Course, currency: Currency) -> str:
    """What a course comes to."""
    mean, least = number(course.path.mean, 2), number(course.path.least, 2)
    low = "" if mean == least else f", {least} in its worst month"
    return f"{amount(course.net_minor, currency)} in the end, at a mean index of {mean}{low}"


def hold_words(one: str, other: str, found: Hold, *, swing: int) -> str:
    """How one course stands to another whose resale may be less or more."""
    by = with_unit(str(swing), "%")
    if found.each:
        return f"{one} stays ahead of {other} whatever the parts of either fetch, {by} less or more."
    if not found.in_common:
        return f"{one} does not stay ahead of {other} once all parts fetch {by} less or more."
    turns = ""
    if found.turns_at is not None:
        turns = f": the two cost alike with {with_unit(number(100 * found.turns_at, 0), '%')} each"
    return (
        f"{one} stays ahead of {other} where all parts fetch {by} less or more together, "
        f"but not where only its own fetch less and the other’s more{turns}."
    )


def assumed_words(resale: tuple[float, float], fall: tuple[float, float]) -> str:
    r"""What is assumed of what parts fetch.

    >>> assumed_words((0.6, 0.8), (0.25, 0.45))
    'A part fetches 60 to 80\xa0% of its price at once, and 22 to 36\xa0% less with every year.'
    """
    shares = " to ".join(number(100 * share) for share in resale)
    lost = " to ".join(number(100 * (1 - exp(-each))) for each in fall)
    return (
        f"A part fetches {with_unit(shares, '%')} of its price at once, "
        f"and {with_unit(lost, '%')} less with every year."
    )


def card_assumed_words(terms: MoneyTerms, currency: Currency) -> tuple[str, ...]:
    """What paths stand on, for the foot of a card."""
    cash = f"{amount(terms.cash_minor, currency)} at once and " if terms.cash_minor else ""
    saved = amount(terms.saved_minor, currency)
    return (
        f"Estimated part by part, with {cash}{saved} a month for changes.",
        assumed_words(terms.resale, terms.fall),
    )


def left_words(build: str, parts: Sequence[str]) -> str:
    """That no path begins with a build, and of which parts that is."""
    which = listed(tuple(parts))
    return f"No path begins with {build}: {which} has no price, or nobody said how good it is."


def unmeasured_words(build: str) -> str:
    """That no path begins with a build since its index is not known."""
    return f"No path begins with {build}: there is no verdict on it yet, so its index is not known."


def unfinished_words(builds: Sequence[str]) -> str:
    """Of which builds paths with two changes were not gone through, or not yet.

    >>> unfinished_words(["Wren", "Plover"])
    'Not all of it: paths of Wren and Plover with two changes are missing.'
    """
    return f"Not all of it: paths of {listed(tuple(builds))} with two changes are missing." if builds else ""


def circle_words(parts: Iterable[str]) -> str:
    """Why no path is worked out of a market on which circles earn money."""
    which = listed(tuple(parts))
    return (
        f"{which} would fetch more than it costs: buying and selling it in a circle would earn money. "
        "Say that parts fetch less, or look at its price again."
    )
