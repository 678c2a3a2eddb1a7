"""How far one setup is from another, as figures that prose may quote: each pair in both directions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from evenhand.findings.finding import Finding, Index, Outcome
from evenhand.metrics.definitions import definition
from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.publish.claim_voice import range_words
from evenhand.publish.numbers import counted, level_words, number, with_unit
from evenhand.publish.spans import percent_span
from evenhand.publish.standing import standing
from evenhand.verdicts.verdict import Verdict

ALL_TESTS = "all tests"
TURNED = {Outcome.AHEAD: Outcome.BEHIND, Outcome.BEHIND: Outcome.AHEAD}
Found = Finding | Index | Verdict
AnyFound = TypeVar("AnyFound", bound=Found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """What a lead is of: the ending of its address, its sort of thing in words, and whose it is."""

    ending: str
    about: str
    definition: str
    runs: str = ""
    n: int | None = None
    tests: tuple[str, ...] = ()
    group: str = ""
    audience: str = ""
    metric: str = ""


def leads(material: Material) -> Iterator[Quotable]:
    """Leads in every test, across groups and all tests, for every audience; chances and forecasts."""
    for finding in material.comparison.findings:
        if finding.ratio is not None:
            yield from _both_ways(finding, _in_test(finding, material), material)
    for index in material.comparison.indexes:
        yield from _both_ways(index, _across(index, material), material)
        yield from _forecasts(index, material)
    for verdict in material.verdicts:
        yield from _both_ways(verdict, _for_audience(verdict, material), material)
        yield from _chances(verdict, material)


def _in_test(finding: Finding, material: Material) -> Lead:
    meant = definition(finding.metric)
    by = "" if finding.headline else f" by {finding.metric}"
    return Lead(
        ending=f"in {finding.test}{by}", about=f"{material.names.test(finding.test)}: {meant.label}",
        definition=f"ratio of {meant.label}, better upward. {meant.label}: {meant.meaning}",
        runs=f", {finding.n_a} and {finding.n_b} runs", tests=(finding.test,), metric=finding.metric,
        n=finding.n_a + finding.n_b,
    )  # fmt: skip


def _across(index: Index, material: Material) -> Lead:
    over = material.names.group(index.group) if index.group else ALL_TESTS
    return Lead(
        ending=f"across {index.group or ALL_TESTS}", about=f"{over}, {counted(len(index.tests), 'test')}",
        definition="weighted geometric mean of the ratios of these tests, better upward",
        tests=index.tests, group=index.group,
    )  # fmt: skip


def _for_audience(verdict: Verdict, material: Material) -> Lead:
    who = material.audiences.get(verdict.audience, verdict.audience)
    return Lead(
        ending=f"for {verdict.audience}", about=f"{who}", audience=verdict.audience,
        definition=f"geometric mean of what was measured, under the weights of {who}, better upward",
        tests=tuple(dict.fromkeys(test for test, _ in verdict.shares if test)),
    )  # fmt: skip


def _both_ways(found: Found, lead: Lead, material: Material) -> Iterator[Quotable]:
    yield _lead(found, lead, material)
    yield _lead(turned(found), lead, material)


def _lead(found: Found, lead: Lead, material: Material) -> Quotable:
    span = standing(found)
    assert span is not None  # only findings with a ratio come here
    a, b, bounds = material.names.setup(found.a), material.names.setup(found.b), found.outcome
    level = None if span.low is None else 0.9 if span.note else 0.95
    how = "" if level is None else f", {level_words(level)} interval"
    return Quotable(
        address=f"lead of {found.a} over {found.b} {lead.ending}", sort=Sort.LEAD,
        value=span.value, low=span.low, high=span.high, level=level, unit="%",
        words=with_unit(span.digits(), "%"), ranged=span.words("%"), definition=lead.definition,
        source=f"{lead.about}, {a} over {b}{lead.runs}{how}: {bounds.value}",
        setups=(found.a, found.b), tests=lead.tests, group=lead.group, audience=lead.audience,
        metric=lead.metric, n=lead.n, called=found.outcome is not Outcome.UNSETTLED,
    )  # fmt: skip


def turned(found: AnyFound) -> AnyFound:
    """The same of b over a."""
    flipped = TURNED.get(found.outcome, found.outcome)
    ends: dict[str, Any] = {
        "ratio": _over(found.ratio), "low": _over(found.high), "high": _over(found.low),
        "bound_low": _over(found.bound_high), "bound_high": _over(found.bound_low),
    }  # fmt: skip
    return replace(found, a=found.b, b=found.a, outcome=flipped, **ends)


def _over(ratio: float | None) -> float | None:
    return None if not ratio else 1 / ratio


def _forecasts(index: Index, material: Material) -> Iterator[Quotable]:
    """The interval for a title not tested; its value is the index."""
    for a, b, low, high, ratio in (
        (index.a, index.b, index.predicted_low, index.predicted_high, index.ratio),
        (index.b, index.a, _over(index.predicted_high), _over(index.predicted_low), _over(index.ratio)),
    ):
        if low is None or high is None or ratio is None:
            continue
        span, words = percent_span(ratio, low, high), range_words((low, high))
        yield Quotable(
            address=f"forecast of {a} over {b} across {index.group or ALL_TESTS}", sort=Sort.FORECAST,
            value=span.value, low=span.low, high=span.high, level=index.level, unit="%",
            words=words, ranged=words,
            definition="the interval within which one more title of this sort is foretold",
            source=f"{material.names.setup(a)} over {material.names.setup(b)}, {len(index.tests)} tests",
            setups=(a, b), tests=index.tests, group=index.group, called=False,
        )  # fmt: skip


def _chances(verdict: Verdict, material: Material) -> Iterator[Quotable]:
    """How often each of a pair is in front where weights and truth wobble: draws in a hundred."""
    chance = material.chances.get((verdict.audience, verdict.a, verdict.b))
    if chance is None:
        return
    sides = ((verdict.a, verdict.b, chance.a_in_front), (verdict.b, verdict.a, 1 - chance.a_in_front))
    for a, b, share in sides:
        words = with_unit(number(100 * share), "%")
        yield Quotable(
            address=f"chance of {a} over {b} for {verdict.audience}", sort=Sort.CHANCE,
            value=100 * share, unit="%", words=words, ranged=words,
            definition="share of draws of weights (Dirichlet) and of truth within its error with it in front",
            source=f"{material.audiences.get(verdict.audience, verdict.audience)}, 4,000 draws",
            setups=(a, b), audience=verdict.audience, called=False,
        )  # fmt: skip
