"""What stands one press behind a finding: its definition, both rates, intervals, runs, method and p."""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.errors import NotFound
from evenhand.findings.finding import Finding, Index
from evenhand.findings.outcomes import LEVEL_INTERVAL
from evenhand.metrics.definitions import definition
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, decimals_alone, level_words, listed, number, with_unit
from evenhand.publish.spans import estimate_words, percent_span
from evenhand.records.estimates import Estimate

Detail = tuple[str, str]
LEAST_P = 0.0001


def finding_details(finding: Finding, names: Names, rates: Mapping[str, Estimate]) -> tuple[Detail, ...]:
    """Terms and their words, in the order in which one would ask. `rates` holds each side's own number."""
    said = [(capital(metric_label(finding.metric)), metric_meaning(finding.metric))]
    for setup, n in ((finding.a, finding.n_a), (finding.b, finding.n_b)):
        rate = rates.get(setup)
        own = f"{estimate_words(rate)}, " if rate is not None else ""
        said.append((names.setup(setup), f"{own}{counted(n, 'run that counts', 'runs that count')}"))
    return (*said, *_ratio(finding, names), *_p(finding), ("Method", finding.method))


def metric_label(key: str) -> str:
    """What readers call a number."""
    try:
        return definition(key).label
    except NotFound:
        return key


def metric_meaning(key: str) -> str:
    """How a number is worked out, as a sentence."""
    try:
        return definition(key).meaning
    except NotFound:
        return "As the test reports it."


def index_details(index: Index, names: Names) -> tuple[Detail, ...]:
    """What an index is, over which tests, and its intervals for these tests and for tests like them."""
    tests = listed(tuple(map(names.test, index.tests)))
    said = [
        ("Index", "The geometric mean of the tests' ratios, by the weights in the brief."),
        ("Over", tests),
    ]
    if index.sample_low is not None and index.sample_high is not None:
        sample = percent_span(index.ratio, index.sample_low, index.sample_high)
        said.append(("Were these tests a sample of many", sample.words("%", signed=True)))
    return (*said, *_ratio(index, names), ("Method", index.method))


def _ratio(finding: Finding | Index, names: Names) -> list[Detail]:
    """The difference with its interval, and what was held against the margin."""
    if finding.ratio is None:
        return []
    over = f"{names.setup(finding.a)} over {names.setup(finding.b)}"
    at = percent_span(finding.ratio, finding.low, finding.high)
    said = [(f"{over}, {level_words(finding.level)} interval", at.words("%", signed=True))]
    if finding.bound_low is not None and finding.bound_high is not None:
        held = percent_span(finding.ratio, finding.bound_low, finding.bound_high)
        term = f"Held against the margin, {level_words(LEVEL_INTERVAL)} interval"
        said.append((term, with_unit(held.range(signed=True), "%")))
    return said


def _p(finding: Finding) -> list[Detail]:
    if finding.p is None:
        return []
    held = "" if finding.p_holm is None else f"; {p_words(finding.p_holm)} over the whole family"
    return [("p, two-sided", f"{p_words(finding.p)}{held}")]


def p_words(p: float) -> str:
    """A p in two digits.

    >>> p_words(0.0132), p_words(3e-9), p_words(1.0)
    ('0.013', 'less than 0.0001', '1.0')
    """
    if p < LEAST_P:
        return f"less than {LEAST_P:g}"
    return number(p, decimals_alone(p, 2))
