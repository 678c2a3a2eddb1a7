"""The foot of a picture: its sentences on few lines, the small rest at its rule, and a mark of one's own."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.publish.faces import Face, fit, width, wrap
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, image, line

REST = 30  # the small rest at the left end of the foot's rule, in units
MOST_FOOT = 2  # lines, where a picture asks for no more
MARK_HIGH = 1.7  # of the type size: the mark of whoever publishes


def inner_width(style: Style) -> float:
    """How wide a picture is between its margins."""
    return style.width - 2 * style.margin


def _beside_mark(style: Style) -> float:
    """How wide a foot's lines may be: beside the mark of whoever publishes, where there is one."""
    box = _mark_box(style, 0.0)
    return inner_width(style) if box is None else box.left - style.margin - style.text[1]


def _mark_box(style: Style, rule: float) -> Box | None:
    """Where the mark stands, at the right below the foot's rule."""
    if style.mark is None:
        return None
    high = MARK_HIGH * style.text[1]
    wide = high * style.mark.width / style.mark.height
    right, top = style.width - style.margin, rule + 0.35 * style.text[1]
    return Box(left=right - wide, top=top, right=right, bottom=top + high)


def foot_lines(foot: Sequence[str], style: Style, most: int = MOST_FOOT) -> tuple[str, ...]:
    """As few lines as hold it: broken between sentences where that fits, else between words."""
    size, room = style.text[1], _beside_mark(style)
    for kept in range(len(foot), 0, -1):
        for lines in (_by_sentence(foot[:kept], style), wrap(" ".join(foot[:kept]), room, size, Face.TEXT)):
            if len(lines) <= most and all(width(text, size) <= room for text in lines):
                return lines
    return fit(foot[0], room, sizes=(size, size), lines=most).lines


def _by_sentence(foot: Sequence[str], style: Style) -> tuple[str, ...]:
    lines: list[str] = []
    for sentence in foot:
        longer = f"{lines[-1]} {sentence}" if lines else ""
        if longer and width(longer, style.text[1]) <= _beside_mark(style):
            lines[-1] = longer
        else:
            lines.append(sentence)
    return tuple(lines)


def _step(style: Style) -> float:
    return (1.4 if style.roomy else 1.15) * style.text[1]


def foot_height(under: Sequence[str], style: Style) -> float:
    """What a foot of these lines takes."""
    size, lines = style.text[1], len(under)
    if style.roomy:
        return 2.1 * size + lines * 1.4 * size
    return (3.2 if lines == 1 else 2.9) * size + (lines - 1) * _step(style)


def foot_drawn(under: Sequence[str], style: Style, bottom: float) -> list[Drawn]:
    """Rule, rest, mark and lines, below the body's `bottom`."""
    size, left = style.text[1], style.margin
    rule = bottom + (0.8 * size if not style.roomy else 1.2 * size)
    reach = 5.5 * style.unit if not style.roomy else 5
    pen, own = Pen(ink=style.accent or "ink", width=style.post), _mark_box(style, rule)
    rest = left + REST * style.unit
    drawn: list[Drawn] = [
        line((left, rule), (style.width - style.margin, rule), Pen(ink="line", width=style.hair * 1.5)),
        line((left, rule - reach), (left, rule + reach), pen),
        line((rest, rule - reach), (rest, rule + reach), pen),
        line((left, rule), (rest, rule), pen),
    ]
    if style.mark is not None and own is not None:
        drawn.append(image(own, style.mark.uri))
    return drawn + [
        Words(x=left, y=rule + 1.4 * size + i * _step(style), text=text, size=size, ink="ink2")
        for i, text in enumerate(under)
    ]
