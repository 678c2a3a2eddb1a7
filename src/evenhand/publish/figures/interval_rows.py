"""The rows of an interval plot: which there are, what each says, and how they part into pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.findings.finding import Comparison, Exclusion, Finding, Index, Outcome
from evenhand.publish.figures.frame import balanced, nice_steps
from evenhand.publish.names import Names
from evenhand.publish.numbers import Span, count_word, percent_span, run_words, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.sentences import predicted_words
from evenhand.publish.style import Style

MOST_ROWS_ON_CARD = 11
MOST_ROWS_ON_PAGE = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: what it is called, what is drawn, what is said.

    `span` is in per cent. `small` follows the label and `short` stands for it, as room allows.
    `foretold` marks a prediction, `left_out` a finding as it would stand with a run that was left
    out, `sums` an index.
    """

    label: str
    outcome: Outcome | None
    span: Span | None
    word: str
    leader: Slot | None = None
    small: str = ""
    short: str = ""
    foretold: bool = False
    left_out: bool = False
    sums: bool = False

    @property
    def quiet(self) -> bool:
        """Rows that comment on the row above."""
        return self.foretold or self.left_out or self.span is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """The two setups of a plot and the names they go by."""

    a: str
    b: str
    names: Names
    margin: float
    level: float

    def leader(self, outcome: Outcome) -> Slot | None:
        """The slot of the setup that is ahead, or None."""
        sides = {Outcome.AHEAD: self.a, Outcome.BEHIND: self.b}
        return self.names.slot(sides[outcome]) if outcome in sides else None


def all_rows(
    findings: Sequence[Finding], comparison: Comparison, about: Pair, *, with_indexes: bool
) -> tuple[list[Row], list[Row]]:
    """The rows of the tests, each followed by itself with its left-out runs; and the rows of the indexes."""
    a, b = about.a, about.b
    indexes = [i for i in comparison.indexes if (i.a, i.b) == (a, b)] if with_indexes else []
    exclusions = [e for e in comparison.exclusions if e.setup in (a, b)]
    tests = [row for f in findings for row in _finding_rows(f, exclusions, about)]
    tests += _missing_rows(findings, indexes, about)
    return tests, [row for index in indexes for row in _index_rows(index, about)]


def _finding_rows(finding: Finding, exclusions: Sequence[Exclusion], about: Pair) -> list[Row]:
    row = _row(finding, about)
    with_run = [
        _with_row(again, exclusion, about)
        for exclusion in exclusions
        for again in exclusion.findings_with
        if (again.test, again.metric, again.a, again.b)
        == (finding.test, finding.metric, finding.a, finding.b)
    ]
    return [row, *with_run]


def _row(finding: Finding, about: Pair) -> Row:
    span = None
    if finding.ratio is not None:
        span = percent_span(finding.ratio, finding.low, finding.high)
    return Row(
        label=about.names.test(finding.test),
        small=about.names.unit(finding.test),
        outcome=finding.outcome,
        span=span,
        word=_word(finding, span),
        leader=about.leader(finding.outcome),
    )


def _word(finding: Finding, span: Span | None) -> str:
    if finding.outcome is Outcome.UNSETTLED or span is None:
        runs = min(finding.n_a, finding.n_b)
        return {0: "no runs", 1: "one run"}.get(runs, "unsettled")
    if finding.outcome is Outcome.LEVEL:
        return "level"
    return with_unit(span.digits(signed=True), "%")


def _with_row(again: Finding, exclusion: Exclusion, about: Pair) -> Row:
    value, unit = exclusion.value, about.names.unit(exclusion.test)
    return replace(
        _row(again, about),
        label=f"with the {about.names.setup(exclusion.setup)} run at {run_words(value, unit)}",
        short=f"with the {run_words(value, '')} run",
        small="",
        leader=about.names.slot(exclusion.setup),
        left_out=True,
    )


def _missing_rows(findings: Sequence[Finding], indexes: Sequence[Index], about: Pair) -> list[Row]:
    drawn = {f.test for f in findings}
    missing = dict.fromkeys(test for index in indexes for test in index.missing if test not in drawn)
    return [Row(label=about.names.test(t), outcome=None, span=None, word="not run") for t in missing]


def _index_rows(index: Index, about: Pair) -> list[Row]:
    span = percent_span(index.ratio, index.low, index.high)
    tests = count_word(len(index.tests))
    label = about.names.group(index.group) if index.group else f"All {tests}"
    said = {Outcome.LEVEL: "level", Outcome.UNSETTLED: "unsettled"}
    row = Row(
        label=label[:1].upper() + label[1:],
        small=f"{tests} tests" if index.group else "index",
        outcome=index.outcome,
        span=span,
        word=said.get(index.outcome, with_unit(span.digits(signed=True), "%")),
        leader=about.leader(index.outcome),
        sums=True,
    )
    words = predicted_words(index)
    if not words:
        return [row]
    predicted = percent_span(index.ratio, index.predicted_low, index.predicted_high)
    ahead = Row(label="a test not run", outcome=Outcome.UNSETTLED, span=predicted, word=words, foretold=True)
    return [row, ahead]


def reach_of(rows: Sequence[Row], margin: float) -> float:
    """How far the scale goes each way: past every point and settled interval, not past every loose end."""
    spans = [(row, row.span) for row in rows if row.span is not None and not row.foretold]
    points = [abs(span.value) for _, span in spans]
    settled = [e for row, span in spans if row.outcome is not Outcome.UNSETTLED for e in _ends(span)]
    loose = [end for _, span in spans for end in _ends(span)]
    needed = max([*points, *settled, 200 * margin])
    wanted = min(max([*loose, needed]), 2 * needed) * 1.04
    step = nice_steps(wanted, 4)
    return step * -(-wanted // step)


def _ends(span: Span) -> list[float]:
    return [abs(end) for end in (span.low, span.high) if end is not None]


def pages_of(tests: list[Row], sums: list[Row], style: Style) -> list[list[Row]]:
    """The rows of each picture: all on one where they fit, else the tests first and the indexes after."""
    most = MOST_ROWS_ON_PAGE if style.roomy else MOST_ROWS_ON_CARD
    if len(tests) + len(sums) <= most:
        return [[*tests, *sums]]
    return [*_split(tests, most), *_split(sums, most)]


def _split(rows: list[Row], most: int) -> list[list[Row]]:
    """Rows on as few pages as hold them, a comment never parted from its row by the start of a page."""
    pages: list[list[Row]] = []
    start = 0
    for size in balanced(len(rows), most):
        end = min(start + size, len(rows))
        while start < end < len(rows) and rows[end].quiet and rows[end].outcome and end - start > 1:
            end -= 1
        pages.append(rows[start:end])
        start = end
    return [*pages, *([rows[start:]] if start < len(rows) else [])]
