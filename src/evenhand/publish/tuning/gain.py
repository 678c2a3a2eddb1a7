"""Whether tuning a machine was worth it, in words: what it buys, for how many watts, decibels and degrees.

What it buys is told in the four words that everything else is told in: ahead, behind, level, unsettled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.findings.finding import Finding, Index, Outcome
from evenhand.findings.scaling import Slope
from evenhand.publish.direction import isolated
from evenhand.publish.limit_words import slope_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    capital,
    counted,
    listed,
    margin_words,
    number,
    with_unit,
)
from evenhand.publish.sentences import states_of
from evenhand.publish.standing import standing
from evenhand.publish.tuning.words import clock_words, part_words

CARE = (
    "More voltage and more heat wear a part out sooner, also where nothing fails. Running it outside its "
    "specification, with less voltage too, can end its warranty: see what yours says."
)
NO_CLOCKS = (
    "No clock is known to have risen, so that gains are held against none: stamp both setups with theirs, "
    "as in “processor clock: 4550 MHz”."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Findings of tuned over stock, what is said of all of them, and how many lie above a clock's rise."""

    overall: Index | Finding | None
    findings: tuple[Finding, ...]
    doubted: int = 0


def tuning_called(build: str, parts: Sequence[str]) -> str:
    """What was tuned: "Plover's processor"; the machine where no part is noted.

    >>> tuning_called("Plover", ["processor", "memory"]), tuning_called("Plover", [])
    ("Plover's processor and memory", 'Plover')
    """
    own = tuple(isolated(part_words(kind)) for kind in parts)
    return f"{isolated(build)}'s {listed(own)}" if own else isolated(build)


def gain_sentence(what: str, held: Held, price: str, *, margin: float) -> str:
    """The sentence first: what it buys on average, at which `price`, and in how many tests it does not."""
    overall = held.overall
    if overall is None or standing(overall) is None:
        return f"Whether tuning {what} buys anything is not known: no test has runs of both to compare."
    return f"{_stands(what, overall, price, margin=margin)}{_also(overall, held)}."


def gain_titles(what: str, held: Held, price: str, *, margin: float) -> tuple[str, ...]:
    """The same over a picture: wordings, the fullest first."""
    whole, overall = gain_sentence(what, held, price, margin=margin).rstrip("."), held.overall
    if overall is None or standing(overall) is None:
        return (whole, "Whether tuning buys anything is not known")
    clause = capital(gain_clause(what, held, price))
    bare = tuple(_stands("", overall, each, margin=margin) for each in (price, ""))
    return whole, _stands(what, overall, price, margin=margin), clause, *bare


def gain_clause(what: str, held: Held, price: str) -> str:
    """What it buys and at which price in one clause, beside a verdict that has told the interval."""
    overall = held.overall
    if overall is None or standing(overall) is None:
        return f"whether tuning {what} buys anything is not known"
    return _bought(f"tuning {what}", overall, price)


def _bought(tuning: str, overall: Index | Finding, price: str) -> str:
    span, aside = standing(overall), f",{price}" if price else ""
    assert span is not None
    if overall.outcome is Outcome.LEVEL:
        return f"{tuning} buys nothing that matters{aside}"
    if overall.outcome is Outcome.UNSETTLED:
        return f"whether {tuning} buys anything is unsettled{aside}"
    verb = "buys" if overall.outcome is Outcome.AHEAD else "loses"
    return f"{tuning} {verb} {with_unit(span.magnitude.digits(), '%')} {_over(overall)}{price}"


def _stands(what: str, overall: Index | Finding, price: str, *, margin: float) -> str:
    span, over, tuning = standing(overall), _over(overall), f"tuning {what}".rstrip()
    assert span is not None
    signed = span.words("%", signed=True)
    if overall.outcome is Outcome.LEVEL:
        nothing = capital(_bought(tuning, overall, price))
        return f"{nothing}: level within {margin_words(margin)} {over}, {signed}"
    if overall.outcome is Outcome.UNSETTLED:
        return f"{capital(_bought(tuning, overall, price))}: {signed} {over}"
    verb = "buys" if overall.outcome is Outcome.AHEAD else "loses"
    small = ", perhaps less than matters" if overall.perhaps_small else ""
    return f"{capital(tuning)} {verb} {span.magnitude.words('%')} {over}{price}{small}"


def _over(overall: Index | Finding) -> str:
    if not isinstance(overall, Index):
        return "in one test"
    return f"on average of {counted(len(overall.tests), 'test')}"


def _also(overall: Index | Finding, held: Held) -> str:
    """In how many tests it stands otherwise than on average, and how many gains are doubted."""
    said = []
    if isinstance(overall, Index):
        words = {
            Outcome.AHEAD: "it is ahead", Outcome.BEHIND: "it is behind", Outcome.LEVEL: "it is level",
            Outcome.UNSETTLED: "nothing is settled",
        }  # fmt: skip
        told = [finding for finding in held.findings if finding.ratio is not None]
        other = {state: n for state, n in states_of(told).items() if state is not overall.outcome}
        said = [f"in {counted(n, 'test')} {words[state]}" for state, n in other.items()]
    if held.doubted:
        said.append(f"{counted(held.doubted, 'gain')} {'is' if held.doubted == 1 else 'are'} doubted")
    return f"; {listed(tuple(said))}" if said else ""


def share_words(slope: Slope | None) -> str:
    """What a test made of each per cent that the clock rose by; "" where no clock is known."""
    if slope is None:
        return ""
    value, _, ends = slope_words(slope).partition(" ")
    said = f"{with_unit(value.rstrip(','), '%')} {ends} for each {with_unit('1', '%')} of clock"
    return f"{said}: more than the clock rose by" if slope.surely_above_one else said


def doubt_words(shares: Mapping[str, Slope], names: Names) -> str:
    """Why gains above what a clock rose by are doubted; "" where none is."""
    above = tuple(names.test(test) for test, slope in shares.items() if slope.surely_above_one)
    if not above:
        return ""
    return (
        f"In {listed(above)} the rate gained more than the clock rose by, which no clock gives by itself: "
        "stock ran hot, below its clock or with other settings, or something else was changed too. Measure "
        "stock again before this gain is told."
    )


def doubt_foot(shares: Mapping[str, Slope], names: Names) -> tuple[str, ...]:
    """The same in few words, for the foot of a picture."""
    above = tuple(names.test(test) for test, slope in shares.items() if slope.surely_above_one)
    return (f"Doubted: {listed(above)} gained more than the clock.",) if above else ()


def rise_words(rises: Mapping[str, tuple[float, float]]) -> str:
    """By how much which clocks rose, that which rose most first."""
    if not rises:
        return NO_CLOCKS
    said = tuple(
        f"{isolated(name)} by {with_unit(number(100 * (new / old - 1), 1), '%')}, from {clock_words(old)} to "
        f"{clock_words(new)}"
        for name, (old, new) in rises.items()
    )
    return f"Up: {'; '.join(said)}. No test can gain more than the clock that rose most."


def rise_foot(rises: Mapping[str, tuple[float, float]]) -> tuple[str, ...]:
    r"""From which clock to which the one that rose most did, for the foot of a picture.

    >>> rise_foot({"processor clock": (4500, 4650)})[0].replace("\u00a0", " ")
    'Processor clock: 4,500 MHz to 4,650 MHz.'
    """
    first = next(iter(rises.items()), None)
    if first is None:
        return ()
    name, (old, new) = first
    return (f"{capital(isolated(name))}: {clock_words(old)} to {clock_words(new)}.",)
