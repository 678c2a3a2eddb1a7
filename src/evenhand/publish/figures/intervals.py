"""The interval plot: every test of one pair on one scale, the level band between its two posts.

Right of no difference the first setup is ahead, left of it the second; every number is the first
setup's difference in per cent of the second.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from evenhand.errors import NotFound
from evenhand.findings.finding import Comparison, Finding
from evenhand.publish.figures.frame import (
    finish,
    frame,
    headline_fits,
    short_enough,
)
from evenhand.publish.figures.interval_columns import (
    Columns,
    columns_of,
    ground,
    header,
    slices,
)
from evenhand.publish.figures.interval_heads import head_names, heads
from evenhand.publish.figures.interval_lanes import draw_row
from evenhand.publish.figures.interval_pages import pages_of, reach_of
from evenhand.publish.figures.interval_rows import Pair, Row, all_rows
from evenhand.publish.figures.interval_words import described, foot_of, most_foot, over
from evenhand.publish.meanings import meaning
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    count_word,
)
from evenhand.publish.picture import Picture
from evenhand.publish.reservations import on_a_picture
from evenhand.publish.sentences import headline, index_headline
from evenhand.publish.style import Style


def interval_plot(
    comparison: Comparison,
    names: Names,
    *,
    style: Style,
    pair: tuple[str, str] | None = None,
    metric: str | None = None,
    said: Sequence[str] = (),
    reserved: Sequence[str] = (),
    subject: bool = True,
) -> tuple[Picture, ...]:
    """The interval plot of one pair (the first on record where none is named), over all its tests.

    Headline findings with the indexes, or those of one other `metric` alone. More rows than a card
    holds go on several, indexes last. The first of `said` that has room stands over those of tests, in place
    of how they stand; `reserved` are further reservations at the foot; `subject` as of `Pair`. Raises
    NotFound where the pair has no such finding.
    """
    names = names.drawn()
    findings = _chosen(comparison, pair, metric)
    a, b = findings[0].a, findings[0].b
    about = Pair(
        a=a, b=b, names=names, margin=comparison.margin, level=findings[0].level,
        reserved=(*reserved, *on_a_picture(findings)), meaning=meaning(f.metric for f in findings),
        subject=subject,
    )  # fmt: skip
    tests, sums = all_rows(findings, comparison, about, style, with_indexes=metric is None)
    pages = pages_of(tests, sums, style)
    indexes = [i for i in comparison.indexes if (i.a, i.b) == (a, b)]
    of_tests = [rows for rows in pages if rows[0] in tests]
    reach = reach_of([row for rows in of_tests for row in rows], comparison.margin)
    stands, summed = partial(_stands, findings, said, style), partial(index_headline, indexes)
    first = [
        _picture(rows, stands, about, style, (reach, _part(i, of_tests))) for i, rows in enumerate(of_tests)
    ]
    summed_reach = reach_of(sums, comparison.margin)
    after = [_picture(rows, summed, about, style, (summed_reach, "")) for rows in pages[len(of_tests) :]]
    return (*first, *after)


def _stands(findings: Sequence[Finding], said: Sequence[str], style: Style, called: Names) -> str:
    """What stands over the tests: the first of `said` that has room, else how they stand."""
    fitting = (each for each in said if headline_fits(each, style))
    return next(fitting, said[-1]) if said else headline(findings, called)


def _part(at: int, pages: Sequence[list[Row]]) -> str:
    of = len(pages)
    return f"Part {count_word(at + 1)} of {count_word(of)}." if of > 1 else ""


def _chosen(comparison: Comparison, pair: tuple[str, str] | None, metric: str | None) -> list[Finding]:
    wanted = [f for f in comparison.findings if (f.headline if metric is None else f.metric == metric)]
    chosen = pair or ((wanted[0].a, wanted[0].b) if wanted else None)
    findings = [f for f in wanted if (f.a, f.b) == chosen]
    if not findings:
        known = ", ".join(f"{a} and {b}" for a, b in dict.fromkeys((f.a, f.b) for f in comparison.findings))
        raise NotFound(
            f"no findings of {' and '.join(chosen) if chosen else 'any pair'}",
            todo=f"choose one of: {known}" if known else "import runs of two setups first",
        )
    return findings


def _picture(
    rows: list[Row], say: Callable[[Names], str], about: Pair, style: Style, place: tuple[float, str]
) -> Picture:
    reach, part = place
    pitch = 2.2 * style.text[0]
    foot, most = foot_of(rows, about, style, part), most_foot(rows, style)

    def begin(said: str) -> Columns:
        begun = frame(said, foot, style=style, wanted=header(style) + pitch * len(rows), most_foot=most)
        return columns_of(rows, begun, about, reach)

    said = short_enough(say, about.names, style)
    columns, headed = begin(said), about
    if not style.roomy:
        headed = replace(about, names=head_names(columns, about))
        if said != say(about.names):
            said = short_enough(say, headed.names, style)
            columns = begin(said)
    placed = slices(rows, columns.frame)
    drawn = [*ground(columns, about, placed), *heads(columns, headed)]
    for row, top, bottom in placed:
        drawn += draw_row(row, columns, about, (top, bottom))
    description = f"Interval plot, {over(about)}: {'; '.join(described(row) for row in rows)}."
    title = f"{said} ({over(about)})"
    return finish(columns.frame, drawn, title=title, description=description, names=about.names)
