"""What stands below the picture of the causes page: what differs, what is refused, swaps, and what limits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.comparison.explaining import Explained
from evenhand.desk.comparison.limiting import OnMachine, Tuned
from evenhand.findings.leanings import Leaning
from evenhand.findings.listing import in_a_row
from evenhand.findings.scaling import Slope
from evenhand.findings.unlikes import Aspect, Mark, Unlike
from evenhand.publish.cause_words import Told
from evenhand.publish.limit_words import evidence_words, gain_words
from evenhand.publish.numbers import capital, listed
from evenhand.publish.swap_words import (
    NONE_FOUND,
    NOT_LOOKED,
    effort_sentence,
    least_sentence,
    swap_sentence,
    swaps_heading,
)

MARKED = {Mark.QUESTION: "The question", Mark.ACCIDENT: "An accident", Mark.UNREAD: "Could not be read"}
NOT_SAID = "not on record"


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlikeRow:
    """One thing in which the two differ, as both sides say it, and what that is."""

    name: str
    a: str
    b: str
    mark: str
    why: str

    @property
    def both(self) -> str:
        """What the sides say, in a row."""
        return in_a_row([self.a, self.b]) if self.a or self.b else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DiffersPart:
    """What differs, what is alike, and what stands of the whole."""

    rows: tuple[UnlikeRow, ...]
    alike: str
    caveats: tuple[str, ...]


def differs_part(found: Explained, told: Told) -> DiffersPart:
    """The question first, then accidents, then what could not be read."""
    differs = found.differs
    rows = [_unlike(unlike, told) for mark in MARKED for unlike in differs.marked(mark)]
    return DiffersPart(
        rows=tuple(rows), alike=listed(differs.alike),
        caveats=tuple(f"{capital(c.told(told.names.setup, told.names.test))}." for c in differs.caveats),
    )  # fmt: skip


def _unlike(unlike: Unlike, told: Told) -> UnlikeRow:
    part = unlike.aspect is Aspect.PART
    nothing = NOT_SAID if unlike.aspect in (Aspect.PART, Aspect.STAMP) else ""
    sides = [
        in_a_row([told.parts.get(v, v) if part else v for v in values]) or nothing
        for values in (unlike.a, unlike.b)
    ]
    lacking = listed(tuple(map(told.names.setup, unlike.lacking)))
    why = f"{unlike.words}: {lacking}" if lacking and unlike.words else unlike.words
    if unlike.tests:
        why = f"{why} (in {listed(tuple(map(told.names.test, unlike.tests)))})".strip()
    return UnlikeRow(
        name=capital(unlike.name), a=sides[0], b=sides[1], mark=MARKED[unlike.mark], why=capital(why),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedLine:
    """Numbers that may not share a ratio: of which test and setups, why, and what to do."""

    where: str
    why: str
    todo: str


def refused_lines(found: Explained, told: Told) -> tuple[RefusedLine, ...]:
    """What is refused for the pair."""
    return tuple(
        RefusedLine(
            where=f"{told.names.test(r.test)}, {listed(tuple(map(told.names.setup, r.setups)))}",
            why=f"{capital(r.words)}.", todo=f"{capital(r.todo)}.",
        )
        for r in found.refused
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapPart:
    """One plan of swaps: what for, the setups to make, the least to begin with, runs and minutes of all."""

    heading: str
    setups: tuple[str, ...]
    least: str
    effort: str


def swap_parts(found: Explained, told: Told) -> tuple[SwapPart, ...]:
    """The plans that would separate what changed together."""
    return tuple(_swap_parts(found, told))


def _swap_parts(found: Explained, told: Told) -> Iterator[SwapPart]:
    for each in found.swaps:
        swaps = each.plan.swaps
        made = [swap_sentence(s, told, there=t) for s, t in zip(swaps or (), each.there, strict=True)]
        if swaps is None:
            least, effort = "", NONE_FOUND if each.plan.complete else NOT_LOOKED
        else:
            least = least_sentence(each.plan, told)
            effort = effort_sentence(each.plan, told, on_record=sum(map(bool, each.there)))
        heading = swaps_heading(each.wanted, each.tests, told, of=len(found.record.study.tests))
        yield SwapPart(heading=heading, setups=tuple(made), least=least, effort=effort)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """What holds one test back, on which machine, and the evidence for it."""

    test: str
    says: str
    evidence: tuple[str, ...]


NO_SLOPE = "No clock and no resolution was varied in it."


def limit_rows(found: Explained, told: Told) -> tuple[LimitRow, ...]:
    """Every test with its statement; where two machines tell, one row each."""
    telling = [each for each in found.limits if any(limit.evidence for limit in each.limits)]
    rows: list[LimitRow] = []
    before: dict[tuple[str, ...], str] = {}
    for test in found.record.study.tests:
        own = [row for each in telling for row in _limit_rows(each, test, (found, told), before)]
        none = LimitRow(
            test=told.names.test(test), says=capital(Leaning.NOT_SHOWN.value), evidence=(NO_SLOPE,)
        )
        rows += own or [none]
    return tuple(rows)


def _limit_rows(
    each: OnMachine, test: str, about: tuple[Explained, Told], before: dict[tuple[str, ...], str]
) -> Iterator[LimitRow]:
    """The rows of a test on one machine; slopes over pixels, which are of a whole scene, once.

    `before` names by these slopes the test under which they were told.
    """
    found, told = about
    for limit in each.limits:
        if limit.test == test and limit.evidence:
            name = f"{told.names.test(test)} on {found.record.builds[each.build].name}"
            said = [
                (evidence_words(slope, leaning), _is_of_scene(slope)) for slope, leaning in limit.evidence
            ]
            evidence = [words for words, of_scene in said if not of_scene]
            pixels = [words for words, of_scene in said if of_scene]
            first = before.setdefault((each.build, *pixels), told.names.test(test))
            again = [f"Slopes over pixels as under {first}."] if first != told.names.test(test) else pixels
            evidence = [*(again if pixels else ()), *evidence]
            caveats = [f"{capital(c.told(told.names.setup, told.names.test))}." for c in limit.caveats]
            yield LimitRow(test=name, says=capital(limit.leaning.value), evidence=(*evidence, *caveats))


def _is_of_scene(slope: Slope) -> bool:
    """Whether it is over the pixels of a scene, and so of every test of that."""
    return slope.setting == "pixels" or slope.setting.startswith("pixels on ")


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedPart:
    """What a tuned setup gained over another of its build, against the clock that rose most."""

    heading: str
    gains: tuple[str, ...]


def tuned_parts(found: Explained, told: Told) -> tuple[TunedPart, ...]:
    """Every pair of states between which a clock rose."""
    return tuple(_tuned(tuned, found, told) for each in found.limits for tuned in each.tuned)


def _tuned(tuned: Tuned, found: Explained, told: Told) -> TunedPart:
    above = any(gain.surely_above_one for gain in tuned.gains)
    new, old = (found.record.setups[key].name for key in (tuned.tuned, tuned.stock))
    says = "gained more than its clock" if above else "gained no more than its clock"
    return TunedPart(
        heading=f"{new} over {old}: {says}",
        gains=tuple(gain_words(gain, told.names) for gain in tuned.gains),
    )
