"""One row of an interval plot: its name, its forms on the scale, and what is said at its end."""

from __future__ import annotations

from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.frame import LEADING, centred, named, named_state
from evenhand.publish.figures.interval_columns import Columns, called, label_face, lane_top, stacked_word
from evenhand.publish.figures.interval_forms import Lane, forms, taken
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.figures.interval_words import long_words
from evenhand.publish.svg import Box, Drawn, Pen, Words, line

NOTE_LEAD = 0.95  # of the type size: from a row's word to the note below it


def draw_row(row: Row, columns: Columns, about: Pair, edges: tuple[float, float]) -> list[Drawn]:
    """The row between these edges, its rule below."""
    style, body = columns.frame.style, columns.frame.body
    top, bottom = edges
    middle = (top + bottom) / 2
    drawn: list[Drawn] = [line((body.left, bottom), (body.right, bottom), Pen(ink="line", width=style.hair))]
    if row.sums:
        drawn.append(line((body.left, top), (body.right, top), Pen(ink="post", width=style.hair)))
    below = lane_top(top, bottom, columns)
    words_at = (top + below) / 2 + 0.1 * style.text[0] if style.narrow else middle
    drawn += _label(row, columns, words_at, bottom - top)
    lane = Lane(scale=columns.scale, style=style, y=(below + bottom) / 2, pitch=bottom - below)
    drawn += [*forms(row, lane), *_beside_words(row, lane, about)]
    return drawn + _said(row, columns, about, words_at)


def _beside_words(row: Row, lane: Lane, about: Pair) -> list[Drawn]:
    """Which run the row's crossed mark is with, beside the row's forms where nothing is touched."""
    if row.span is None or len(row.with_runs) != 1:
        return []
    scale, size, gap = lane.scale, lane.style.text[1], 5 * lane.unit
    edge = 100 * about.margin
    band = Box(left=scale.x(-edge) - gap, top=lane.y - 1, right=scale.x(edge) + gap, bottom=lane.y + 1)
    room = Box(left=scale.left, top=lane.y - lane.pitch, right=scale.right, bottom=lane.y + lane.pitch)
    own, again = taken(row, lane), row.with_runs[0]
    right, left = max(box.right for box in own) + gap, min(box.left for box in own) - gap
    for text in (f"with {again.value}", again.value):
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
    lines = 2 if pitch > 2.3 * style.text[1] and not (style.roomy or style.narrow) else 1
    said = fit(called(row, style), room, sizes=sizes, face=label_face(row), lines=lines)
    first = Words(
        x=left, y=centred(middle, said.size), text="", size=said.size, face=label_face(row),
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


def _said(row: Row, columns: Columns, about: Pair, middle: float) -> list[Drawn]:
    style, right = columns.frame.style, columns.frame.body.right
    if style.roomy:
        return _said_long(row, columns, about, middle)
    size = style.text[0] if not row.foretold else style.text[1]
    face = Face.TEXT if row.quiet or row.outcome is Outcome.UNSETTLED else Face.STRONG
    word = stacked_word(row, about) if style.narrow else row.word
    word, size = shortened(word, row, columns, size)
    ink = "ink2" if row.quiet or row.outcome is Outcome.UNSETTLED else "ink"
    noted = columns.noted and row.note != ""
    y = centred(middle, size) - (0.5 * NOTE_LEAD * size if noted else 0.0)
    said = Words(x=right, y=y, text=word, size=size, face=face, anchor="end", ink=ink)
    note = replace(
        said, y=y + NOTE_LEAD * size, text=row.note, size=style.text[1], face=Face.TEXT, ink="ink2"
    )
    return [said, note] if noted else [said]


def shortened(word: str, row: Row, columns: Columns, size: float) -> tuple[str, float]:
    """The word in its room: smaller, and at last without the name, as it is the same one in every row."""
    style = columns.frame.style
    if not style.narrow or width(word, size, Face.STRONG) <= columns.words_room:
        return word, size
    fits = width(word, style.text[1], Face.STRONG) <= columns.words_room
    return (word if fits else row.word), style.text[1]


def _said_long(row: Row, columns: Columns, about: Pair, middle: float) -> list[Drawn]:
    style, right = columns.frame.style, columns.frame.body.right
    state, interval = long_words(row, about)
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
