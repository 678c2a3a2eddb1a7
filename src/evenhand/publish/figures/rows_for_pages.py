"""Finding rows of a page: one small picture a row, all on one scale in per cent of their own width.

A page sets names and words as text and lets rows touch, so that the level band runs through all of them. What
is drawn is what the cards' interval plot draws, from the same rows: filled in a build's colour for ahead,
outlined for level, dashed and grey for unsettled. Classes of the style sheet give colours.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from evenhand.findings.finding import Outcome
from evenhand.publish.figures.frame import nice_steps, tick_decimals
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_pages import reach_of
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.numbers import margin_words, number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture
from evenhand.publish.spans import MOST_PERCENT, Span

LEADS = (Outcome.AHEAD, Outcome.BEHIND)
HIGH = 48  # px that a row stands at least
DISC = '<circle class="dot hol none" r="5.5"/>'
SETTLED = '<circle class="lev" r="5"/>'  # a finding that is nobody's lead
LEVEL = '<rect class="lev" x="-3.5" y="-4.5" width="7" height="9"/>'
CROSS = '<path class="flag" d="M-8-8 8 8M8-8-8 8"/>'


@dataclass(frozen=True, slots=True, kw_only=True)
class RowWords:
    """What stands at the end of a row: the state, whose slot leads it where one does, and the interval."""

    state: str
    interval: str
    slot: int | None = None


def scale_of(rows: Sequence[Row], margin: float) -> Scale:
    """The common scale of these rows, from 0 to 100 per cent of their width."""
    return Scale(left=0.0, right=100.0, reach=reach_of(rows, margin))


def close_scale(row: Row, margin: float) -> Scale:
    """The scale of a row that stands alone: the posts half-way out, or nearer where the row needs it."""
    span = row.span
    ends = [] if span is None else [end for end in (span.value, span.low, span.high) if end is not None]
    reach = max(200 * margin, *(1.08 * abs(end) for end in ends), 0.0)
    return Scale(left=0.0, right=100.0, reach=min(reach, MOST_PERCENT))


def row_words(row: Row, about: Pair) -> RowWords:
    """State and interval of a row in words: "Plover ahead 10.7 %", "8.9 to 12.5".

    The number is the first setup's over the second, as it is drawn. Where the second is ahead, its lead is
    another number (14.7 % behind is 17.2 % ahead), so that what is told there is told of the first.
    """
    if row.foretold:
        return RowWords(state="Unsettled", interval=f"anywhere from {row.word}")
    if row.span is None or row.outcome is None:
        return RowWords(state="Unsettled", interval=row.word)
    if row.outcome in LEADS:
        return _lead_words(row.span, row.outcome, about)
    name = about.names.setup(about.a)
    runs = f"{row.word}: " if row.word in ("one run", "no runs") else ""
    at = f"{runs}{name} {row.span.words('%', signed=True)}"
    return RowWords(state=row.outcome.value.capitalize(), interval=at)


def _lead_words(span: Span, outcome: Outcome, about: Pair) -> RowWords:
    leader = about.a if outcome is Outcome.AHEAD else about.b
    name, slot = about.names.setup(leader), about.names.slot(leader).number
    crosses = span.low is not None and span.low < 0
    if outcome is Outcome.BEHIND or crosses:
        at = f"{about.names.setup(about.a)} {span.words('%', signed=True)}"
        return RowWords(state=f"{name} ahead", interval=at, slot=slot)
    if span.note:
        return RowWords(state=f"{name} ahead", interval=span.words("%"), slot=slot)
    return RowWords(state=f"{name} ahead {with_unit(span.digits(), '%')}", interval=span.range(), slot=slot)


def interval_row(row: Row, about: Pair, scale: Scale, *, said: str = "") -> Picture:
    """One row: the band between its posts, no difference dotted, and the row's own form.

    `said` tells it to whoever cannot see it, where that is more than state and interval.
    """
    words = row_words(row, about)
    slot = about.names.slot(about.a if row.outcome is Outcome.AHEAD else about.b)
    said = said or f"{row.label}: {words.state}, {words.interval}".rstrip(", ")
    form = "" if row.span is None else _form(row, row.span, scale, slot)
    return _picture(f'{_ground(about.margin, scale)}<svg y="50%" overflow="visible">{form}</svg>', said)


def empty_row(said: str) -> Picture:
    """A row with nothing to show yet: no difference, dotted."""
    return _picture('<line class="zero" x1="50%" x2="50%" y2="100%"/>', said)


def head_row(
    about: Pair, scale: Scale, *, ends: tuple[str, str] | None = None, signed: bool = True
) -> Picture:
    """What stands over the rows: both sides in words, the scale, and the band's name where it begins.

    `ends` says what is to the left and to the right, where that is neither setup's lead. Not `signed`: the
    left side carries the second setup's own lead, as its rows tell it, and not how far the first is behind.
    """
    step = nice_steps(2 * scale.reach, 4)
    most = int(scale.reach // step)
    ticks = [_tick(i * step, scale, last=i == most, signed=signed) for i in range(-most, most + 1)]
    left, right = ends or tuple(f"{about.names.setup(key)} ahead" for key in (about.b, about.a))
    names = [_side(left, "0", "start"), _side(right, "100%", "end")]
    band = f"level: within {margin_words(about.margin)}"
    label = f'<text class="mut" x="50%" y="30" text-anchor="middle">{band}</text>'
    return _picture(f"{_ground(about.margin, scale, top=54)}{''.join(ticks)}{''.join(names)}{label}", "")


def _side(said: str, x: str, anchor: str) -> str:
    return f'<text class="str" x="{x}" y="14" text-anchor="{anchor}">{escape(said)}</text>'


def _tick(value: float, scale: Scale, *, last: bool, signed: bool) -> str:
    x = scale.x(value)
    anchor = "start" if x < 2 else "end" if x > 98 else "middle"
    shown = value if signed else abs(value)
    text = number(shown, tick_decimals(abs(value)) if value else 0, signed=signed)
    said = with_unit(text, "%") if last else text
    return f'<text class="mut" x="{x:.2f}%" y="48" text-anchor="{anchor}">{said}</text>'


def _ground(margin: float, scale: Scale, *, top: int = 0) -> str:
    low, high = scale.x(-100 * margin), scale.x(100 * margin)
    y = f' y1="{top}"' if top else ""
    at = f' y="{top}"' if top else ""
    posts = "".join(f'<line class="post" x1="{x:.2f}%" x2="{x:.2f}%"{y} y2="100%"/>' for x in (low, high))
    band = f'<rect class="band" x="{low:.2f}%" width="{high - low:.2f}%"{at} height="100%"/>'
    return f'{band}{posts}<line class="zero" x1="50%" x2="50%"{y} y2="100%"/>'


def _form(row: Row, span: Span, scale: Scale, slot: Slot) -> str:
    """What stands in the row, about its middle."""
    if row.left_out and row.leader is not None:
        return _left_out(span, scale, row.leader)
    if row.outcome is Outcome.UNSETTLED or span.low is None:
        return _unsettled(span, scale)
    low, high, at = scale.x(span.low), scale.x(span.high or span.low), scale.x(span.value)
    bar = f'x="{low:.2f}%" width="{high - low:.2f}%"'
    if row.outcome is Outcome.LEVEL:
        return f'<rect class="bar hol" {bar} y="-6" height="12" rx="1"/>{_at(at, LEVEL)}'
    if row.hollow:
        return _hollow(bar, at, slot if row.leader is not None else None)
    drawn = f'<rect class="bar b{slot.number}" {bar} y="-4" height="8" rx="1"/>'
    return drawn + _at(at, f'<path class="dot b{slot.number}" d="{slot.mark}"/>')


def _hollow(bar: str, at: float, slot: Slot | None) -> str:
    """A lead without one owner: outlined in its setup's colour, or thin and in ink where no setup has it."""
    if slot is None:
        return f'<rect class="bar thin" {bar} y="-1.5" height="3"/>{_at(at, SETTLED)}'
    drawn = f'<rect class="bar hol joint b{slot.number}" {bar} y="-5" height="10" rx="1"/>'
    return drawn + _at(at, f'<path class="dot hol b{slot.number}" d="{slot.mark}"/>')


def _left_out(span: Span, scale: Scale, slot: Slot) -> str:
    """What would stand with a run that was left out: its setup's mark hollow and crossed, a thin interval."""
    bar = ""
    if span.low is not None and span.high is not None:
        ends = f'x1="{scale.x(span.low):.2f}%" x2="{scale.x(span.high):.2f}%"'
        bar = f'<line class="thinly b{slot.number}" {ends}/>'
    return bar + _at(scale.x(span.value), f'<path class="dot hol b{slot.number}" d="{slot.mark}"/>{CROSS}')


def _unsettled(span: Span, scale: Scale) -> str:
    drawn = ""
    if span.low is not None and span.high is not None:
        low, high = scale.x(span.low), scale.x(span.high)
        drawn = f'<line class="bar uns" x1="{low:.2f}%" x2="{high:.2f}%"/>'
        drawn += _end(span.low, -1, scale) + _end(span.high, 1, scale)
    return drawn + _at(scale.x(span.value), DISC)


def _end(end: float, side: int, scale: Scale) -> str:
    """The end of an unsettled bar: a cap, or an arrowhead where it runs on past the scale."""
    if abs(end) > scale.reach:
        arrow = f'<path class="bar end" d="M{-7 * side}-6 0 0 {-7 * side} 6"/>'
        return _at(99.6 if side > 0 else 0.4, arrow)
    return _at(scale.x(end), '<path class="bar end" d="M0-6V6"/>')


def _at(percent: float, drawn: str) -> str:
    return f'<svg x="{percent:.2f}%" y="0" width="1" height="1" overflow="visible">{drawn}</svg>'


def _picture(body: str, said: str) -> Picture:
    """A row as a picture: told in words where it shows something, else hidden from who cannot see it."""
    told = escape(said)
    head = f'role="img" aria-label="{told}"' if said else 'aria-hidden="true"'
    title = f"<title>{told}</title>" if said else ""
    svg = f'<svg class="iv" {head}>{title}{body}</svg>'
    return Picture(svg=svg, width=0, height=HIGH, title=said, description=said)
