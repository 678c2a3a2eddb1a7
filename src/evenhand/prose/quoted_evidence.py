"""Noise, heat and power, as figures that prose may quote."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.findings.finding import Finding, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.metrics.wall import FRAME_ENERGY, WALL_KEYS, WALL_POWER
from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.prose.quoted_leads import turned
from evenhand.prose.quoted_rates import own_number
from evenhand.publish.numbers import with_unit
from evenhand.publish.spans import Span
from evenhand.publish.standing import standing

SORTS = {WALL_POWER: Sort.WATTS, FRAME_ENERGY: Sort.JOULES}
IDLE = "idle"


def evidence(material: Material) -> Iterator[Quotable]:
    """Watts and joules of each setup, what pairs differ by in them, and gaps in decibels and kelvins."""
    for place, estimate in material.rates.items():
        if place[2] in WALL_KEYS:
            yield own_number(material, place, estimate, SORTS[place[2]])
    for finding in material.power:
        if finding.ratio is not None:
            yield _saved(finding, material)
            yield _saved(turned(finding), material)
    for gap in material.gaps:
        if gap.difference is not None:
            yield from _gap(gap, material)


def _saved(finding: Finding, material: Material) -> Quotable:
    """How much less a draws than b, as every ratio: better upward."""
    span = standing(finding)
    assert span is not None  # only findings with a ratio come here
    a, b = map(material.names.setup, (finding.a, finding.b))
    return Quotable(
        address=f"{SORTS[finding.metric]} of {finding.a} below {finding.b} in {finding.test}",
        sort=SORTS[finding.metric], value=span.value, low=span.low, high=span.high, unit="%",
        level=None if span.low is None else finding.level, words=with_unit(span.digits(), "%"),
        ranged=span.words("%"), definition=f"how much more of it {b} takes than {a}",
        source=f"{material.names.test(finding.test)}, {finding.n_a} and {finding.n_b} runs",
        setups=(finding.a, finding.b), tests=(finding.test,), metric=finding.metric,
        called=finding.outcome is not Outcome.UNSETTLED,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    a: str
    b: str
    value: float
    low: float | None
    high: float | None


def _gap(gap: Gap, material: Material) -> Iterator[Quotable]:
    """How much quieter, or cooler at the same noise, each of the pair is than the other."""
    assert gap.difference is not None
    low, high = gap.low, gap.high
    back = _Side(a=gap.b, b=gap.a, value=gap.difference, low=low, high=high)
    own = _Side(
        a=gap.a, b=gap.b, value=-gap.difference, low=None if high is None else -high,
        high=None if low is None else -low,
    )  # fmt: skip
    sort = Sort.NOISE if gap.topic is Topic.SOUND else Sort.HEAT
    part = f" by {gap.part}" if gap.part else ""
    where = material.names.test(gap.test) if gap.test else IDLE
    for side in (own, back):
        span = Span(value=side.value, low=side.low, high=side.high, alone=2)
        yield Quotable(
            address=f"{sort} of {side.a} below {side.b} in {gap.test or IDLE}{part}", sort=sort,
            value=side.value, low=side.low, high=side.high, level=gap.level, unit=gap.unit,
            words=with_unit(span.digits(), gap.unit), ranged=span.words(gap.unit),
            definition=f"how much {'quieter' if sort is Sort.NOISE else 'cooler at the same noise'} it is",
            source=f"{where}, {gap.n_a} and {gap.n_b} readings",
            setups=(side.a, side.b), tests=(gap.test,) if gap.test else (),
            called=gap.outcome is not Outcome.UNSETTLED,
        )  # fmt: skip
