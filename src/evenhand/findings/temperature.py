"""Which of two machines keeps its parts cooler at the same noise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from evenhand.findings.finding import Caveat
from evenhand.findings.gaps import Draft, Gap, Topic, judged
from evenhand.records.sound import SoundReading
from evenhand.stats.between import Rule, differences, sample
from evenhand.stats.decibels import LEAST_EXCESS_DB, subtract
from evenhand.stats.lines import apart, line

MARGIN_K = 2.0
"""Parts tell their temperature in whole degrees, and taking a cooler off and putting it back moves it by one
or two: less than this is no property of a machine."""

SENSOR_K = 1.0
"""Half a degree of rounding on either side: what sensors that tell whole degrees cannot exclude."""

SAME_LEVEL_DB = 1.0
"""Levels within this of each other are taken for equal: about the least step that is noticed."""

LEAST_POINTS = 3
"""Of each setup for a line: two points always lie on one, and say nothing of their spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Point:
    """One reading: the level of the machine alone in dB, and how far a part was above the room in K."""

    level_db: float
    above_room_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Points:
    """One setup's readings of a part in a test, and how many of its readings could not be used."""

    setup: str
    points: tuple[_Point, ...]
    unusable: int = 0

    @property
    def levels(self) -> list[float]:
        """The levels, in order of reading."""
        return [p.level_db for p in self.points]

    @property
    def above(self) -> list[float]:
        """The temperatures above the room, in order of reading."""
        return [p.above_room_k for p in self.points]

    def within(self, low_db: float, high_db: float) -> _Points:
        """Those at levels from `low_db` to `high_db`."""
        inside = tuple(p for p in self.points if low_db <= p.level_db <= high_db)
        return replace(self, points=inside)


def temperatures_at_equal_noise(
    readings: Sequence[SoundReading],
    *,
    setups: Sequence[str],
    margin_k: float = MARGIN_K,
    sensor_k: float = SENSOR_K,
) -> tuple[Gap, ...]:
    """Every pair of setups, test and part of which both have readings with level, background and room.

    Levels are of the machine alone (`decibels.subtract`, reading by reading; under 3 dB above the background
    a reading cannot be used), temperatures above the room. Where all readings lie within 1 dB, the difference
    of the means; else, where each setup has three readings or more over ranges of level that overlap, a line
    of temperature on level for each, compared in the middle of the overlap (`lines.apart`); else the means of
    those within 1 dB of each other; else refused. A t interval each, an allowance of `sensor_k`, Holm over
    all.
    """
    used = [r for r in readings if r.setup in setups]
    topics = dict.fromkeys((r.test, part) for r in used for part in r.temperatures_c)
    drafts = [
        _draft(
            _points(used, a, *topic), _points(used, b, *topic), topic, margin_k=margin_k, sensor_k=sensor_k
        )
        for topic in topics
        for a, b in combinations(setups, 2)
    ]
    return judged(drafts)


def _points(readings: Sequence[SoundReading], setup: str, test: str, part: str) -> _Points:
    own = [r for r in readings if (r.setup, r.test) == (setup, test) and part in r.temperatures_c]
    points = tuple(
        _Point(level_db=level, above_room_k=r.temperatures_c[part] - r.room_c)
        for r in own
        if (level := _level(r)) is not None and r.room_c is not None
    )
    return _Points(setup=setup, points=points, unusable=len(own) - len(points))


def _level(reading: SoundReading) -> float | None:
    background = reading.background_db
    if background is None or reading.level_db - background < LEAST_EXCESS_DB:
        return None
    return subtract(reading.level_db, background)


def _draft(
    a: _Points, b: _Points, topic: tuple[str, str], *, margin_k: float, sensor_k: float
) -> Draft:  # fmt: skip
    test, part = topic
    gap = Gap(
        topic=Topic.TEMPERATURE, a=a.setup, b=b.setup, test=test, part=part, margin=margin_k,
        allowance=sensor_k, n_a=len(a.points), n_b=len(b.points), caveats=tuple(_left_out(a, b)),
    )  # fmt: skip
    if not (a.points and b.points):
        return Draft(gap=replace(gap, allowance=0.0, why=_nothing(a, b, part)))
    together = _same_level(a, b)
    if together and _number(together) == _number((a, b)):
        return _by_means(gap, *together)
    if _can_be_lines(a, b):
        return _by_lines(gap, a, b)
    if together:
        return _by_means(gap, *together)
    return Draft(gap=replace(gap, allowance=0.0, why=_no_overlap(a, b)))


def _number(sides: tuple[_Points, _Points]) -> int:
    return sum(len(side.points) for side in sides)


def _same_level(a: _Points, b: _Points) -> tuple[_Points, _Points] | None:
    """The readings of both within the decibel that holds most of them, by levels alone; None where none does.

    The most is counted by the side with fewer, then over both; the quietest of equals.
    """
    best: tuple[_Points, _Points] | None = None
    for low in sorted([*a.levels, *b.levels]):
        sides = a.within(low, low + SAME_LEVEL_DB), b.within(low, low + SAME_LEVEL_DB)
        if all(side.points for side in sides) and (best is None or _rank(sides) > _rank(best)):
            best = sides
    return best


def _rank(sides: tuple[_Points, _Points]) -> tuple[int, int]:
    return min(len(side.points) for side in sides), _number(sides)


def _overlap(a: _Points, b: _Points) -> tuple[float, float]:
    return max(min(a.levels), min(b.levels)), min(max(a.levels), max(b.levels))


def _can_be_lines(a: _Points, b: _Points) -> bool:
    low, high = _overlap(a, b)
    varied = all(len(s.points) >= LEAST_POINTS and max(s.levels) > min(s.levels) for s in (a, b))
    return varied and low <= high


def _by_means(gap: Gap, a: _Points, b: _Points) -> Draft:
    """Readings at levels that are taken for equal."""
    difference = differences([sample(a.above, b.above)])[0]
    single = min(len(a.points), len(b.points)) < 2
    if single:
        method = "none: one reading"
    elif difference.rule is Rule.NONE:
        method = "none: readings all alike"
    else:
        method = "Welch's t over readings" if difference.rule is Rule.WELCH else "t over readings"
    at = float(np.mean([*a.levels, *b.levels]))
    words = "levels within 1 dB of each other are taken for equal"
    caveats = (*gap.caveats, Caveat(key="same-level", words=words), *_sensors())
    found = replace(
        gap, difference=difference.d, at_db=at, n_a=len(a.points), n_b=len(b.points), method=method,
        value_a=float(np.mean(a.above)), value_b=float(np.mean(b.above)), caveats=caveats,
    )  # fmt: skip
    return Draft(gap=found, se=None if single else difference.se, df=difference.df)


def _by_lines(gap: Gap, a: _Points, b: _Points) -> Draft:
    """A line for each setup, compared in the middle of the levels that both were read at."""
    low, high = _overlap(a, b)
    at = (low + high) / 2
    of_a, of_b = line(a.levels, a.above), line(b.levels, b.above)
    found = apart(of_a, of_b, at)
    words = f"straight lines over levels from {low:.3g} to {high:.3g} dB; nothing is said outside"
    known = found.se > 0
    made = replace(
        gap, difference=found.d, at_db=at, value_a=of_a.at(at), value_b=of_b.at(at),
        method=("t over two lines" if found.pooled else "t over two lines, not pooled") if known
        else "none: readings on their lines to the last digit",
        caveats=(*gap.caveats, Caveat(key="straight", words=words), *_sensors()),
    )  # fmt: skip
    return Draft(gap=made, se=found.se if known else None, df=found.df)


def _sensors() -> Iterator[Caveat]:
    words = "told by the parts' own sensors: those of unlike parts are not calibrated to one another"
    yield Caveat(key="own-sensors", words=words)


def _left_out(a: _Points, b: _Points) -> Iterator[Caveat]:
    for side in (a, b):
        if side.unusable:
            words = (
                f"{side.unusable} of {side.unusable + len(side.points)} readings lack a room, a background, "
            )
            words += f"or {LEAST_EXCESS_DB:g} dB above it"
            yield Caveat(key="unusable", words=words, setups=(side.setup,), each=True)


def _nothing(a: _Points, b: _Points, part: str) -> Caveat:
    lacking = tuple(side.setup for side in (a, b) if not side.points)
    words = f"no reading tells level, room and the temperature of the {part} together".replace("{", "{{")
    return Caveat(key="not-read", words=words.replace("}", "}}"), setups=lacking, each=True)


def _no_overlap(a: _Points, b: _Points) -> Caveat:
    spans = [f"from {min(s.levels):.3g} to {max(s.levels):.3g} dB" for s in (a, b)]
    words = f"no levels in common: {{setups[0]}} was read {spans[0]}, {{setups[1]}} {spans[1]}"
    return Caveat(key="no-overlap", words=words, setups=(a.setup, b.setup))
