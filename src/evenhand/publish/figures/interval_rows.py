"""The rows of an interval plot: which there are, what each says, and how they part into pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.findings.finding import Comparison, Exclusion, Finding, Index, Outcome
from evenhand.findings.outcomes import ALPHA
from evenhand.publish.faces import Face, width
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, run_words, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.reservations import how_many
from evenhand.publish.sentences import predicted_words
from evenhand.publish.spans import Span, percent_span
from evenhand.publish.standing import standing
from evenhand.publish.style import Style

MOST_NOTED_ROWS = 5  # on a card
MOVED = 0.2  # of the margin: a left-out run that would move its row by less is not drawn into it


@dataclass(frozen=True, slots=True, kw_only=True)
class WithRun:
    """A finding as it would stand with one run that was left out, to be drawn beside the finding.

    `value` is the run's own number in words.
    """

    span: Span
    outcome: Outcome
    slot: Slot
    setup: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: what it is called, what is drawn, what is said.

    `span` is in per cent. `small` follows the label and `short` stands for it, as room allows.
    `foretold` marks a prediction, `left_out` a finding as it would stand with a run that was left
    out, `sums` an index, `overall` the one over all tests. `with_runs` are left-out runs that share the
    row. `note` stands below `word` where a card has room; `perhaps_small` marks leads that may be. `hollow`
    is what several changes do together: a lead that none may claim. `withheld`: why a clear bar is unsettled.
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
    overall: bool = False
    with_runs: tuple[WithRun, ...] = ()
    note: str = ""
    perhaps_small: bool = False
    hollow: bool = False
    withheld: str = ""

    @property
    def by_bounds(self) -> bool:
        """Whether the interval drawn is the one held against the margin."""
        return self.span is not None and self.span.note != ""

    @property
    def quiet(self) -> bool:
        """Rows that comment on the row above."""
        return self.foretold or self.left_out or self.span is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """The two setups of a plot, the names they go by, and what its foot says of their findings.

    `reserved` holds reservations in few words, `meaning` the definitions behind the numbers. `subject`:
    whether a head says whose the numbers are, where what stands over the plot has not said it.
    """

    a: str
    b: str
    names: Names
    margin: float
    level: float
    reserved: tuple[str, ...] = ()
    meaning: str = ""
    subject: bool = True

    def leader(self, outcome: Outcome) -> Slot | None:
        """The slot of the setup that is ahead, or None."""
        sides = {Outcome.AHEAD: self.a, Outcome.BEHIND: self.b}
        return self.names.slot(sides[outcome]) if outcome in sides else None

    def called(self, setup: str, room: float, size: float) -> str:
        """A side as it stands before "ahead": of two states of one machine the state, where more is cut."""
        whole = self.names.setup(setup)
        if width(f"{whole} ahead", size, Face.STRONG) <= room:
            return whole
        return self.names.apart(setup, self.b if setup == self.a else self.a)


def holds_notes(rows: Sequence[Row], style: Style) -> bool:
    """Whether rows are high enough for a note below their word."""
    return not (style.roomy or style.narrow) and len(rows) <= MOST_NOTED_ROWS


def all_rows(
    findings: Sequence[Finding], comparison: Comparison, about: Pair, style: Style, *, with_indexes: bool
) -> tuple[list[Row], list[Row]]:
    """The rows of the tests and the rows of the indexes.

    What a left-out run would change follows as a row of its own on a page, and shares the row on a card.
    """
    a, b = about.a, about.b
    indexes = [i for i in comparison.indexes if (i.a, i.b) == (a, b)] if with_indexes else []
    indexes = [i for i in indexes if len(i.tests) > 1 or i.missing]  # of one test its own row says it all
    exclusions = [e for e in comparison.exclusions if e.setup in (a, b)]
    family = sum(f.p_holm is not None for f in comparison.findings)
    tests = [
        replace(row, withheld=_withheld(f, family) if not row.left_out else "")
        for f in findings
        for row in _finding_rows(f, exclusions, about, style)
    ]
    tests += _missing_rows(findings, indexes, about)
    return tests, [row for index in indexes for row in _index_rows(index, about)]


def _withheld(finding: Finding, family: int) -> str:
    """Why a finding that is clear of no difference by itself is not called, in few words."""
    keys = {caveat.key for caveat in finding.caveats}
    if "ahead-withheld" in keys:
        return "within its allowance"
    if "family-withheld" not in keys:
        return ""
    if finding.p is not None and finding.p < ALPHA:
        return f"clear by itself, not once all {family} comparisons are counted"
    return f"its p does not reach {ALPHA:g}"


def _finding_rows(
    finding: Finding, exclusions: Sequence[Exclusion], about: Pair, style: Style
) -> Iterator[Row]:
    row, again = _row(finding, about), list(_again(finding, exclusions))
    if style.roomy:
        yield row
        yield from (_with_row(with_it, exclusion, about) for exclusion, with_it in again)
    else:
        moved = [(e, with_it) for e, with_it in again if _moves(finding, with_it, about.margin)]
        yield replace(row, with_runs=tuple(w for e, f in moved for w in _with_run(f, e, about)))


def _again(finding: Finding, exclusions: Sequence[Exclusion]) -> Iterator[tuple[Exclusion, Finding]]:
    """The finding as it would stand with each left-out run."""
    key = (finding.test, finding.metric, finding.a, finding.b)
    for exclusion in exclusions:
        for again in exclusion.findings_with:
            if (again.test, again.metric, again.a, again.b) == key:
                yield exclusion, again


def _moves(finding: Finding, with_it: Finding, margin: float) -> bool:
    """Whether the run would visibly move the row, or change what it says."""
    if finding.ratio is None or with_it.ratio is None or finding.outcome is not with_it.outcome:
        return True
    return abs(with_it.ratio - finding.ratio) > MOVED * margin


def _with_run(again: Finding, exclusion: Exclusion, about: Pair) -> Iterator[WithRun]:
    span = standing(again)
    if span is not None:
        yield WithRun(
            span=span,
            outcome=again.outcome,
            slot=about.names.slot(exclusion.setup),
            setup=about.names.setup(exclusion.setup),
            value=run_words(exclusion.value, about.names.unit(exclusion.test)),
        )


def _row(finding: Finding, about: Pair) -> Row:
    span = standing(finding)
    return Row(
        label=about.names.test(finding.test),
        small=about.names.unit(finding.test),
        outcome=finding.outcome,
        span=span,
        word=_word(finding, span),
        leader=about.leader(finding.outcome),
        note=_perhaps(finding, about),
        perhaps_small=finding.perhaps_small,
    )


def _perhaps(found: Finding | Index, about: Pair) -> str:
    """What a lead says of itself that may be smaller than the margin."""
    return f"perhaps under {with_unit(f'{100 * about.margin:.4g}', '%')}" if found.perhaps_small else ""


def _one_run(index: Index) -> str:
    """Why an index is unsettled that holds tests with a single run on a side."""
    single = next((c.tests for c in index.caveats if c.key == "one-run"), ())
    if index.outcome is not Outcome.UNSETTLED or not single:
        return ""
    return f"{counted(len(single), 'test')} of one run"


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
    span = standing(index) or percent_span(index.ratio, None, None)
    label = about.names.group(index.group) if index.group else how_many(index)
    said = {Outcome.LEVEL: "level", Outcome.UNSETTLED: "unsettled"}
    row = Row(
        label=label[:1].upper() + label[1:],
        small=f"{counted(len(index.tests), 'test')}" if index.group else "index",
        outcome=index.outcome,
        span=span,
        word=said.get(index.outcome, with_unit(span.digits(signed=True), "%")),
        leader=about.leader(index.outcome),
        note=_perhaps(index, about) or _one_run(index),
        perhaps_small=index.perhaps_small,
        sums=True,
        overall=not index.group,
    )
    words = predicted_words(index)
    if not words:
        return [row]
    predicted = percent_span(index.ratio, index.predicted_low, index.predicted_high)
    ahead = Row(label="a test not run", outcome=Outcome.UNSETTLED, span=predicted, word=words, foretold=True)
    return [row, ahead]
