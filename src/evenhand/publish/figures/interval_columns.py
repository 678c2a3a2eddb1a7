"""The columns of an interval plot: where names end, the plot lies and words stand, and what heads them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.findings.finding import Outcome
from evenhand.publish.faces import Face, width
from evenhand.publish.figures.bands import band
from evenhand.publish.figures.frame import Frame, named_width
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair, Row, holds_notes
from evenhand.publish.figures.interval_words import long_words
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Words

MOST_STACKED = 3.2  # of the type size: the highest row of a narrow card
BELOW = 0.75  # of the type size: what the numbers of the scale take from the rows of a card
MOST_NAMES, PLOT = 0.38, 0.42  # of the body's width: what names may take, and what they leave the plot


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Where names end, the plot lies, and words stand; `noted` where rows hold two lines of them.

    On a narrow card names and words stand over the plot, and `through` says that the band runs through all
    rows since none of them touches it.
    """

    frame: Frame
    names_room: float
    words_room: float
    scale: Scale
    top: float
    noted: bool = False
    through: bool = True


def header(style: Style) -> float:
    """How high the heads over the plot stand."""
    return 46 if style.roomy else 62


def columns_of(rows: Sequence[Row], begun: Frame, about: Pair, reach: float) -> Columns:
    """The columns that these rows need, the plot between them; below them on a narrow card."""
    if begun.style.narrow:
        return stacked_columns(rows, begun, about, reach)
    style, body = begun.style, begun.body
    size, gap = style.text[0], 0.7 * style.text[0]
    wide, noted = body.right - body.left, holds_notes(rows, style)
    words_room = max(_words_width(row, about, style) for row in rows)
    if noted:
        words_room = max(words_room, *(width(row.note, style.text[1]) for row in rows))
    words_room = max(words_room, min(0.18 * style.width, subject_width(about, style)))
    most = (
        0.26 * wide
        if style.roomy
        else max(0.3 * wide, min(MOST_NAMES * wide, (1 - PLOT) * wide - words_room))
    )
    names_room = min(most, max(width(called(row, style), size, label_face(row)) for row in rows) + gap / 2)
    inset = 8 * style.unit
    scale = Scale(
        left=body.left + names_room + gap + inset, right=body.right - words_room - gap - inset, reach=reach
    )
    return Columns(
        frame=begun,
        names_room=names_room,
        words_room=words_room,
        scale=scale,
        top=body.top + header(style),
        noted=noted,
    )


def stacked_columns(rows: Sequence[Row], begun: Frame, about: Pair, reach: float) -> Columns:
    """The plot over the whole width; the band runs through the rows where no words stand in its way."""
    style, body = begun.style, begun.body
    inset, gap = 1.5 * style.text[1], 0.5 * style.text[0]  # numbers of the scale stand around its ends
    scale = Scale(left=body.left + inset, right=body.right - inset, reach=reach)
    beside = scale.x(-100 * about.margin) - body.left - gap
    names = max(width(row.label, style.text[1], label_face(row)) for row in rows)
    words = max(width(stacked_word(row, about), style.text[1], Face.STRONG) for row in rows)
    room = (body.right - body.left - gap) / 2
    through = max(names, words) <= beside
    return Columns(
        frame=begun, names_room=beside if through else room, words_room=beside if through else room,
        scale=scale, top=body.top + header(style), through=through,
    )  # fmt: skip


def stacked_word(row: Row, about: Pair) -> str:
    """What a row of a narrow card says: whose the number is, as no head does.

    It is the first setup's in every row, as the scale below is. A lead of the second over the first is
    another number: who is 14.7 % behind is led by 17.2 %.
    """
    if row.outcome not in (Outcome.AHEAD, Outcome.BEHIND) or row.span is None or row.foretold:
        return row.word
    return f"{about.names.setup(about.a)} {row.word}"


def subject_width(about: Pair, style: Style) -> float:
    """How wide mark and name of the one stand whose numbers are told at the right."""
    if not about.subject:
        return 0.0
    subject = Words(x=0, y=0, text=about.names.setup(about.a), size=style.text[1])
    return named_width(subject, style)


def called(row: Row, style: Style) -> str:
    """What the row is called where it stands."""
    return row.short if row.short and not style.roomy else row.label


def _words_width(row: Row, about: Pair, style: Style) -> float:
    size = style.text[0] if not style.roomy else style.text[1]
    if not style.roomy:
        return width(row.word, size, Face.STRONG)
    state, interval = long_words(row, about)
    return 36 + width(state, style.text[0], Face.STRONG) + width(interval, size)


def label_face(row: Row) -> Face:
    """The face that its name is set in."""
    return Face.STRONG if row.sums else Face.TEXT


def slices(rows: Sequence[Row], begun: Frame) -> list[tuple[Row, float, float]]:
    """Each row with its top and bottom; few rows on a card stand in the middle of the band."""
    style = begun.style
    top, bottom = begun.body.top + header(style), floor(begun)
    pitch = min((bottom - top) / len(rows), (MOST_STACKED if style.narrow else 2.2) * style.text[0])
    start = top + (bottom - top - pitch * len(rows)) / 2 if not style.roomy else top
    return [(row, start + i * pitch, start + (i + 1) * pitch) for i, row in enumerate(rows)]


def floor(begun: Frame) -> float:
    """Where rows and band end: on a card above the numbers of the scale, which a page has at its head."""
    return begun.body.bottom - (0.0 if begun.style.roomy else BELOW * begun.style.text[1])


def ground(columns: Columns, about: Pair, rows: Sequence[tuple[Row, float, float]]) -> list[Drawn]:
    """The level band between its two posts, and no difference dotted in its middle, through all rows.

    On a narrow card whose words would stand in it, through the lower part of each row.
    """
    style, whole = columns.frame.style, [(columns.top, floor(columns.frame))]
    parts = whole if columns.through else [(lane_top(t, b, columns), b) for _, t, b in rows]
    return [drawn for edges in parts for drawn in band(columns.scale, 100 * about.margin, edges, style)]


def lane_top(top: float, bottom: float, columns: Columns) -> float:
    """Where the forms of a row begin: below its words on a narrow card."""
    style = columns.frame.style
    return min(top + 1.3 * style.text[0], (top + bottom) / 2) if style.narrow else top
