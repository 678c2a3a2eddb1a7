"""The rows of a comparison page: tests, indexes with single tests left out, and left-out runs let in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.findings.finding import Comparison, Exclusion, Finding, Index, LeftOut
from evenhand.publish.details import Detail, finding_details, index_details
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair, Row, all_rows
from evenhand.publish.figures.rows_for_pages import head_row, interval_row, row_words, scale_of
from evenhand.publish.names import Names
from evenhand.publish.numbers import with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.sentences import what_would_settle
from evenhand.publish.spans import percent_span
from evenhand.publish.style import page as page_style
from evenhand.records.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """One row: what it is called, its picture, and its words, with what stands one press behind them.

    `slot` is that of the setup that is ahead; `sort` is "ahead", "level" or "unsettled". `address` opens its
    runs where it has any.
    """

    key: str
    name: str
    small: str
    picture: Picture
    state: str
    interval: str
    sort: str
    slot: int | None = None
    note: str = ""
    address: str = ""
    here: bool = False
    sums: bool = False
    quiet: bool = False
    details: tuple[Detail, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Rows on one scale, and what stands over them."""

    head: Picture
    rows: tuple[FindingRow, ...]


Rates = Mapping[tuple[str, str], Estimate]


def about_pair(comparison: Comparison, pair: tuple[str, str], names: Names) -> Pair:
    """The pair as its rows speak of it."""
    level = next((f.level for f in comparison.findings), 0.95)
    return Pair(a=pair[0], b=pair[1], names=names, margin=comparison.margin, level=level)


def test_rows(findings: Sequence[Finding], comparison: Comparison, about: Pair, rates: Rates) -> Rows:
    """One row for each finding, in order."""
    alone = replace(comparison, exclusions=())
    rows, _ = all_rows(findings, alone, about, page_style(), with_indexes=False)
    scale = scale_of(rows, about.margin)
    made = [
        replace(
            row_of(row, about, scale, key=f.test),
            note=" ".join(part for part in (row.note, what_would_settle(f)) if part),
            details=finding_details(f, about.names, {s: r for (t, s), r in rates.items() if t == f.test}),
        )
        for row, f in zip(rows, findings, strict=True)
    ]
    return Rows(head=head_row(about, scale), rows=tuple(made))


def row_of(row: Row, about: Pair, scale: Scale, *, key: str) -> FindingRow:
    """One row of the plot as a page shows it."""
    words = row_words(row, about)
    sort = "ahead" if words.slot is not None else words.state.lower()
    return FindingRow(
        key=key,
        name=row.label[:1].upper() + row.label[1:],
        small=row.small,
        picture=interval_row(row, about, scale),
        state=words.state,
        interval=words.interval,
        sort=sort,
        slot=words.slot,
        note=row.note,
        sums=row.sums,
        quiet=row.foretold or row.left_out,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexRows:
    """The indexes: rows that one should see, and every test left out in turn."""

    shown: Rows
    every: tuple[FindingRow, ...]


def index_rows(indexes: Sequence[Index], comparison: Comparison, about: Pair) -> IndexRows | None:
    """Each index, the tests that turn it or move it most, and what it foretells; None without an index."""
    parts = [list(_index_part(index, comparison, about)) for index in indexes]
    told = {id(part[0]): index for index, part in zip(indexes, parts, strict=True) if part}
    every = [(index, left) for index in indexes for left in index.left_out if len(index.tests) > 2]
    rows = [row for part in parts for row in part]
    others = [_without(index, left, about, telling="") for index, left in every]
    if not rows:
        return None
    scale = scale_of([*rows, *others], about.margin)
    made = tuple(
        replace(
            row_of(row, about, scale, key=f"{i}"),
            details=index_details(told[id(row)], about.names) if id(row) in told else (),
        )
        for i, row in enumerate(rows)
    )
    left = tuple(row_of(row, about, scale, key=f"without-{i}") for i, row in enumerate(others))
    return IndexRows(shown=Rows(head=head_row(about, scale), rows=made), every=left)


def _index_part(index: Index, comparison: Comparison, about: Pair) -> Iterator[Row]:
    """An index, what turns it, and what it foretells."""
    _, rows = all_rows([], replace(comparison, indexes=(index,)), about, page_style(), with_indexes=True)
    if not rows:
        return
    yield rows[0]
    if len(index.tests) > 2:
        yield from (_without(index, left, about, telling=why) for left, why in telling_tests(index))
    yield from rows[1:]


def telling_tests(index: Index) -> list[tuple[LeftOut, str]]:
    """The tests without which the index says something else, or the one that moves it most."""
    flips = [(left, f"{left.outcome.value} without it") for left in index.left_out if left.flips]
    if flips or not index.left_out:
        return flips
    most = max(index.left_out, key=lambda left: abs(left.ratio / index.ratio - 1))
    return [(most, "moves it most")]


def _without(index: Index, left: LeftOut, about: Pair, *, telling: str) -> Row:
    span = percent_span(left.ratio, left.low, left.high)
    whole = about.names.group(index.group) if index.group else "all"
    return Row(
        label=f"{whole} without {about.names.test(left.test)}",
        small=telling,
        outcome=left.outcome,
        span=span,
        word=with_unit(span.digits(signed=True), "%"),
        leader=about.leader(left.outcome),
    )


def let_in_rows(exclusion: Exclusion, comparison: Comparison, about: Pair) -> Rows | None:
    """The finding of a left-out run's test as it stands, and as it would stand with the run."""
    own = [f for f in exclusion.findings_without if (f.a, f.b) == (about.a, about.b)]
    if not own:
        return None
    only = replace(comparison, exclusions=(exclusion,))
    rows, _ = all_rows(own, only, about, page_style(), with_indexes=False)
    scale = scale_of(rows, about.margin)
    made = tuple(row_of(row, about, scale, key=f"in-{exclusion.run}-{i}") for i, row in enumerate(rows))
    return Rows(head=head_row(about, scale), rows=made)
