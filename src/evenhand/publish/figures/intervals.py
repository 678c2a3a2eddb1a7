"""The interval plot: every test of one pair on one scale, the level band between its two posts.

Right of no difference the first setup is ahead, left of it the second; every number is the first
setup's difference in per cent of the second.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotFound
from evenhand.findings.finding import Comparison, Finding, Outcome
from evenhand.publish.faces import Face, elide_name, fit, width
from evenhand.publish.figures.frame import (
    LEADING,
    Frame,
    centred,
    finish,
    foot_fits,
    frame,
    headline_fits,
    named,
    named_state,
    named_width,
    nice_steps,
)
from evenhand.publish.figures.interval_forms import Lane, Scale, forms, taken
from evenhand.publish.figures.interval_rows import Pair, Row, all_rows, pages_of, reach_of
from evenhand.publish.meanings import meaning
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    count_word,
    level_words,
    margin_words,
    number,
)
from evenhand.publish.picture import Picture
from evenhand.publish.reservations import on_a_picture
from evenhand.publish.sentences import headline, index_headline
from evenhand.publish.style import Style, page
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, rect

MOST_STATE = 150  # px: the longest "Plover ahead" that a page has room for


def interval_plot(
    comparison: Comparison,
    names: Names,
    *,
    style: Style,
    pair: tuple[str, str] | None = None,
    metric: str | None = None,
) -> tuple[Picture, ...]:
    """The interval plot of one pair (the first on record where none is named), over all its tests.

    Headline findings with the indexes, or those of one other `metric` alone. More rows than a card
    holds go on several, indexes last. Raises NotFound where the pair has no such finding.
    """
    findings = _chosen(comparison, pair, metric)
    a, b = findings[0].a, findings[0].b
    about = Pair(
        a=a, b=b, names=names, margin=comparison.margin, level=findings[0].level,
        reserved=on_a_picture(findings), meaning=meaning(f.metric for f in findings),
    )  # fmt: skip
    tests, sums = all_rows(findings, comparison, about, style, with_indexes=metric is None)
    said = _short_enough(lambda called: headline(findings, called), names, style)
    pages = pages_of(tests, sums, style)
    indexes = [i for i in comparison.indexes if (i.a, i.b) == (a, b)]
    summed = _short_enough(lambda called: index_headline(indexes, called), names, style)
    of_tests = [rows for rows in pages if rows[0] in tests]
    reach = reach_of([row for rows in of_tests for row in rows], comparison.margin)
    first = [
        _picture(rows, said, about, style, (reach, _part(i, of_tests))) for i, rows in enumerate(of_tests)
    ]
    summed_reach = reach_of(sums, comparison.margin)
    after = [_picture(rows, summed, about, style, (summed_reach, "")) for rows in pages[len(of_tests) :]]
    return (*first, *after)


def _part(at: int, pages: Sequence[list[Row]]) -> str:
    of = len(pages)
    return f"Part {count_word(at + 1)} of {count_word(of)}." if of > 1 else ""


def _short_enough(say: Callable[[Names], str], names: Names, style: Style) -> str:
    """A headline, said with shortened names where the full ones would cut off its end."""
    said = say(names)
    return said if headline_fits(said, style) else say(names.shortened())


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


def _picture(rows: list[Row], said: str, about: Pair, style: Style, place: tuple[float, str]) -> Picture:
    reach, part = place
    pitch = 2.2 * style.text[0]
    foot = _foot(rows, about, style, part)
    begun = frame(said, foot, style=style, wanted=_header(style) + pitch * len(rows))
    columns = _columns(rows, begun, about, reach)
    drawn = [*_ground(columns, about), *_heads(columns, about)]
    for row, top, bottom in _slices(rows, begun):
        drawn += _draw_row(row, columns, about, (top, bottom))
    description = f"Interval plot, {_over(about)}: {'; '.join(_described(row) for row in rows)}."
    return finish(begun, drawn, title=f"{said} ({_over(about)})", description=description)


def _over(about: Pair) -> str:
    return f"{about.names.setup(about.a)} over {about.names.setup(about.b)}"


def _described(row: Row) -> str:
    if row.span is None or row.foretold:
        return f"{row.label} {row.word}"
    state = "" if row.outcome is None else f", {row.outcome.value}"
    again = [
        f", with the {w.setup} run at {w.value} {w.span.words('%', signed=True)}, {w.outcome.value}"
        for w in row.with_runs
    ]
    return f"{row.label} {row.span.words('%', signed=True)}{state}{''.join(again)}"


def _foot(rows: Sequence[Row], about: Pair, style: Style, part: str) -> list[str]:
    """What the forms mean, said in full where all of it fits, else shorter."""
    terms = [f"{about.names.terms.rstrip('.')}."] if about.names.terms else []
    band, small = f"Band: {margin_words(about.margin)}", ", too small to matter"
    for full, ones in ((small, " ones"), ("", " ones"), ("", "")):
        said = [part, f"{band}{full}.", _bars(rows, about, ones), *about.reserved, about.meaning]
        said.append(_crossed_out(rows))
        foot = [sentence for sentence in said if sentence]
        if foot_fits(foot, style):
            break
    return [*foot, *terms]


def _bars(rows: Sequence[Row], about: Pair, ones: str) -> str:
    """Of what level the bars are: level rows show the interval that was held against the margin."""
    drawn = [row for row in rows if row.span is not None and row.span.low is not None]
    by_bounds = dict.fromkeys(row.span.note for row in drawn if row.span is not None and row.span.note)
    usual = [level_words(about.level)] if len(drawn) > sum(row.by_bounds for row in drawn) else []
    levels = [*usual, *(f"level{ones} {level}" if usual else level for level in by_bounds)]
    return f"Bars: {', '.join(levels)}." if levels else ""


def _crossed_out(rows: Sequence[Row]) -> str:
    runs = [again.value for row in rows for again in row.with_runs]
    if not runs:
        return ""
    return (
        f"Crossed: with the run at {runs[0]}, left out."
        if len(runs) == 1
        else "Crossed: with a left-out run."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Where names end, the plot lies, and words stand."""

    frame: Frame
    names_room: float
    words_room: float
    scale: Scale
    top: float


def _header(style: Style) -> float:
    return 46 if style.roomy else 62


def _columns(rows: Sequence[Row], begun: Frame, about: Pair, reach: float) -> Columns:
    style, body = begun.style, begun.body
    size, gap = style.text[0], 0.7 * style.text[0]
    most = (0.27 if not style.roomy else 0.26) * (body.right - body.left)
    names_room = min(most, max(width(_called(row, style), size, _label_face(row)) for row in rows) + gap / 2)
    words_room = max(_words_width(row, about, style) for row in rows)
    words_room = max(words_room, min(0.18 * style.width, _subject_width(about, style)))
    inset = 8 * style.unit
    scale = Scale(
        left=body.left + names_room + gap + inset, right=body.right - words_room - gap - inset, reach=reach
    )
    return Columns(
        frame=begun, names_room=names_room, words_room=words_room, scale=scale, top=body.top + _header(style)
    )


def _subject_width(about: Pair, style: Style) -> float:
    subject = Words(x=0, y=0, text=about.names.setup(about.a), size=style.text[1])
    return named_width(subject, style)


def _called(row: Row, style: Style) -> str:
    return row.short if row.short and not style.roomy else row.label


def _words_width(row: Row, about: Pair, style: Style) -> float:
    size = style.text[0] if not style.roomy else style.text[1]
    if not style.roomy:
        return width(row.word, size, Face.STRONG)
    state, interval = _long_words(row, about)
    return 36 + width(state, style.text[0], Face.STRONG) + width(interval, size)


def _label_face(row: Row) -> Face:
    return Face.STRONG if row.sums else Face.TEXT


def _slices(rows: Sequence[Row], begun: Frame) -> list[tuple[Row, float, float]]:
    """Each row with its top and bottom; few rows on a card stand in the middle of the band."""
    style = begun.style
    top, bottom = begun.body.top + _header(style), begun.body.bottom
    most = 2.2 * style.text[0]
    pitch = min((bottom - top) / len(rows), most)
    start = top + (bottom - top - pitch * len(rows)) / 2 if not style.roomy else top
    return [(row, start + i * pitch, start + (i + 1) * pitch) for i, row in enumerate(rows)]


def _ground(columns: Columns, about: Pair) -> list[Drawn]:
    style, scale, bottom = columns.frame.style, columns.scale, columns.frame.body.bottom
    low, high = scale.x(-100 * about.margin), scale.x(100 * about.margin)
    post = Pen(ink="post", width=style.post)
    dots = Pen(ink="post", width=style.hair * 1.3, dash=f"{style.hair * 1.3:.1f} {4.5 * style.unit:.1f}")
    middle = scale.x(0)
    return [
        rect(Box(left=low, top=columns.top, right=high, bottom=bottom), fill="band"),
        line((low, columns.top), (low, bottom), post),
        line((high, columns.top), (high, bottom), post),
        line((middle, columns.top), (middle, bottom), dots),
    ]


def _heads(columns: Columns, about: Pair) -> list[Drawn]:
    """Both sides named over the plot, and whose numbers stand at the right."""
    style, scale, body = columns.frame.style, columns.scale, columns.frame.body
    y = columns.top - (0.32 * style.text[0] if not style.roomy else 32)
    drawn = [*_side(about.b, columns, about, y), *_side(about.a, columns, about, y)]
    if not style.roomy:
        return drawn + _subject(columns, about, y)
    ticks = nice_steps(2 * scale.reach, 4)
    size, low = style.text[1], columns.top - 6
    steps = range(-int(scale.reach // ticks), int(scale.reach // ticks) + 1)
    drawn += [
        Words(x=scale.x(i * ticks), y=low, text=_tick(i * ticks, last=i == steps[-1]), size=size,
              anchor="middle", ink="ink2")
        for i in steps
    ]  # fmt: skip
    drawn.append(
        Words(x=scale.x(0), y=y + 12, text=_band_name(about), size=size, anchor="middle", ink="ink2")
    )
    return [*drawn, *_page_head(columns, about, low, body.right)]


def _page_head(columns: Columns, about: Pair, y: float, right: float) -> list[Drawn]:
    style = columns.frame.style
    words = f"{_over(about)}, {level_words(about.level)} interval"
    room = columns.words_room
    short = fit(words, room, sizes=(style.text[1], style.text[1])).lines[0]
    return [
        Words(x=style.margin, y=y, text="Test", size=style.text[1], ink="ink2"),
        Words(x=right, y=y, text=short, size=style.text[1], anchor="end", ink="ink2"),
        line((style.margin, columns.top), (right, columns.top), Pen(ink="post", width=style.hair)),
    ]


def _tick(value: float, *, last: bool) -> str:
    return number(value, signed=True, decimals=0 if value == int(value) else 1) + ("\u00a0%" if last else "")


def _side(setup: str, columns: Columns, about: Pair, y: float) -> tuple[Drawn, ...]:
    """Who is ahead on this side, with its mark, over its own half of the plot."""
    style, scale, size = columns.frame.style, columns.scale, columns.frame.style.text[0]
    right = setup == about.a
    inner, outer = _half(right=right, columns=columns, about=about)
    mark_room = named_width(Words(x=0, y=0, text="", size=1), style)
    room = abs(outer - inner) - mark_room
    name = elide_name(about.names.setup(setup), " ahead", room, size=size, face=Face.STRONG)
    words = Words(x=0, y=y, text=name, size=size, face=Face.STRONG)
    wide = named_width(words, style)
    edge = scale.x(100 * about.margin if right else -100 * about.margin)
    wished = (edge + outer) / 2 - wide / 2
    x = min(max(wished, min(inner, outer)), max(inner, outer) - wide)
    return named(about.names.slot(setup), replace(words, x=x), style)


def _half(*, right: bool, columns: Columns, about: Pair) -> tuple[float, float]:
    """Where a side's name may stand: from beside the band's own name to the end of the scale."""
    style, scale = columns.frame.style, columns.scale
    clear = 6 * style.unit
    if style.roomy:
        clear += width(_band_name(about), style.text[1]) / 2
    middle = scale.x(0)
    return (middle + clear, scale.right) if right else (middle - clear, scale.left)


def _band_name(about: Pair) -> str:
    return f"level: within {margin_words(about.margin)}"


def _subject(columns: Columns, about: Pair, y: float) -> list[Drawn]:
    style = columns.frame.style
    room = columns.words_room - named_width(Words(x=0, y=0, text="", size=1), style) + 1
    name = fit(about.names.setup(about.a), room, sizes=(style.text[1], style.text[1])).lines[0]
    words = Words(x=0, y=y, text=name, size=style.text[1], ink="ink2")
    x = columns.frame.body.right - named_width(words, style)
    return list(named(about.names.slot(about.a), replace(words, x=x), style))


def _draw_row(row: Row, columns: Columns, about: Pair, edges: tuple[float, float]) -> list[Drawn]:
    style, body = columns.frame.style, columns.frame.body
    top, bottom = edges
    middle = (top + bottom) / 2
    drawn: list[Drawn] = [line((body.left, bottom), (body.right, bottom), Pen(ink="line", width=style.hair))]
    if row.sums:
        drawn.append(line((body.left, top), (body.right, top), Pen(ink="post", width=style.hair)))
    drawn += _label(row, columns, middle, bottom - top)
    lane = Lane(scale=columns.scale, style=style, y=middle, pitch=bottom - top)
    drawn += [*forms(row, lane), *_beside_words(row, lane, about)]
    return drawn + _said(row, columns, about, middle)


def _beside_words(row: Row, lane: Lane, about: Pair) -> list[Drawn]:
    """Which run the row's crossed mark is with, beside the row's forms where nothing is touched."""
    if len(row.with_runs) != 1:
        return []
    scale, size, gap = lane.scale, lane.style.text[1], 5 * lane.unit
    edge = 100 * about.margin
    band = Box(left=scale.x(-edge) - gap, top=lane.y - 1, right=scale.x(edge) + gap, bottom=lane.y + 1)
    room = Box(left=scale.left, top=lane.y - lane.pitch, right=scale.right, bottom=lane.y + lane.pitch)
    own, again = taken(row, lane), row.with_runs[0]
    right, left = max(box.right for box in own) + gap, min(box.left for box in own) - gap
    for text in (f"with {again.value}", f"with {again.short}"):
        for x, anchor in ((right, "start"), (left, "end")):
            words = Words(x=x, y=centred(lane.y, size), text=text, size=size, anchor=anchor, ink="ink2")
            if words.box.inside(room) and not words.box.meets(band):
                return [words]
    return []


def _label(row: Row, columns: Columns, middle: float, pitch: float) -> list[Drawn]:
    """The name, on two lines where it needs them and the row is high enough, and its unit where it fits."""
    style = columns.frame.style
    indent = 0.6 * style.text[0] if row.foretold or row.left_out else 0.0
    left, room = columns.frame.body.left + indent, columns.names_room - indent
    sizes = (style.text[1], style.text[1]) if row.quiet else style.text
    lines = 2 if pitch > 2.3 * style.text[1] and not style.roomy else 1
    said = fit(_called(row, style), room, sizes=sizes, face=_label_face(row), lines=lines)
    first = Words(
        x=left, y=centred(middle, said.size), text="", size=said.size, face=_label_face(row),
        ink="ink2" if row.quiet else "ink",
    )  # fmt: skip
    step = LEADING * said.size
    offset = -step * (len(said.lines) - 1) / 2
    words = [replace(first, y=first.y + offset + i * step, text=text) for i, text in enumerate(said.lines)]
    small = replace(
        first, x=words[0].box.right + 6, text=row.small, size=style.text[1], face=Face.TEXT, ink="ink2"
    )
    fits = style.roomy and row.small and small.box.right <= columns.frame.body.left + columns.names_room
    return [*words, small] if fits else [*words]


def _long_words(row: Row, about: Pair) -> tuple[str, str]:
    """State and interval, as a page has room for."""
    if row.span is None or row.outcome is None:
        return "", row.word
    if row.foretold:
        return "", f"anywhere from {row.word}"
    words = row.span.words("%", signed=True)
    if row.left_out:
        return "", f"would read {words}"
    if row.word in ("one run", "no runs"):
        return "Unsettled", f"{row.word}: {words}"
    leads = row.outcome in (Outcome.AHEAD, Outcome.BEHIND)
    name = about.names.setup(about.a if row.outcome is Outcome.AHEAD else about.b)
    ahead = elide_name(name, " ahead", MOST_STATE, size=page().text[0], face=Face.STRONG)
    return (ahead if leads else row.outcome.value.capitalize()), words


def _said(row: Row, columns: Columns, about: Pair, middle: float) -> list[Drawn]:
    style, right = columns.frame.style, columns.frame.body.right
    if style.roomy:
        return _said_long(row, columns, about, middle)
    size = style.text[0] if not row.foretold else style.text[1]
    face = Face.TEXT if row.quiet or row.outcome is Outcome.UNSETTLED else Face.STRONG
    ink = "ink2" if row.quiet or row.outcome is Outcome.UNSETTLED else "ink"
    return [
        Words(x=right, y=centred(middle, size), text=row.word, size=size, face=face, anchor="end", ink=ink)
    ]


def _said_long(row: Row, columns: Columns, about: Pair, middle: float) -> list[Drawn]:
    style, right = columns.frame.style, columns.frame.body.right
    state, interval = _long_words(row, about)
    y = centred(middle, style.text[0])
    quiet = row.quiet or row.outcome is Outcome.UNSETTLED
    said = Words(
        x=right - columns.words_room, y=y, text=state, size=style.text[0], face=Face.STRONG,
        ink="ink2" if quiet else "ink",
    )  # fmt: skip
    words: list[Drawn] = []
    if state:
        words += named(row.leader, said, style) if row.leader else named_state(row.outcome, said, style)
    return [*words, Words(x=right, y=y, text=interval, size=style.text[1], anchor="end", ink="ink2")]
