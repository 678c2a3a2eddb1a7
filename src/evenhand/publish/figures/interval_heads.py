"""What heads the columns of an interval plot: both sides by name, whose numbers they are, and the scale."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from evenhand.publish.faces import Face, elide_name, fit, width
from evenhand.publish.figures.frame import named, named_width, nice_steps
from evenhand.publish.figures.interval_columns import Columns, floor, subject_width
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.interval_words import over
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words, margin_words, number
from evenhand.publish.svg import Drawn, Pen, Words, line

LONGEST, SHORTEST = 20, 6  # characters of a name that is cut short for all of a card


def head_names(columns: Columns, about: Pair) -> Names:
    """The names cut only where one would not stand whole over the plot: one form each.

    Of two states of one machine the state alone comes before a name that is cut.
    """
    names = about.names
    for setup in dict.fromkeys((about.b, about.a)):
        apart = _called(names, setup, about.names.apart(setup, about.b if setup == about.a else about.a))
        shorter = (names, apart, *(_cut(apart, setup, n) for n in range(LONGEST, SHORTEST - 1, -1)))
        fits = (each for each in shorter if _head_fits(setup, columns, replace(about, names=each)))
        names = next(fits, shorter[-1])
    return names


def _called(names: Names, setup: str, name: str) -> Names:
    """The names with another for this setup."""
    own = names.setups.get(setup)
    return names if own is None else replace(names, setups={**names.setups, setup: replace(own, name=name)})


def _cut(names: Names, setup: str, most: int) -> Names:
    """The names with this setup's alone cut short."""
    short = names.shortened(most).setups
    return replace(names, setups={**names.setups, **{k: n for k, n in short.items() if k == setup}})


def _head_fits(setup: str, columns: Columns, about: Pair) -> bool:
    """Whether the name stands whole over its side, and the first setup's over its numbers too."""
    style, name = columns.frame.style, about.names.setup(setup)
    room = _side_room(right=setup == about.a, columns=columns, about=about)
    side = width(f"{name} ahead", style.text[0], Face.STRONG) <= room
    return side and (style.narrow or setup != about.a or width(name, style.text[1]) <= _subject_room(columns))


def heads(columns: Columns, about: Pair) -> list[Drawn]:
    """Both sides named over the plot, and whose numbers stand at the right."""
    style, scale, body = columns.frame.style, columns.scale, columns.frame.body
    y = columns.top - (0.32 * style.text[0] if not style.roomy else 32)
    drawn = [*_side(about.b, columns, about, y), *_side(about.a, columns, about, y)]
    if style.narrow:
        return [*drawn, *_numbers_below(columns)]
    if not style.roomy:
        return [*drawn, *_subject(columns, about, y), *_numbers_below(columns)]
    size, low = style.text[1], columns.top - 6
    drawn += _numbers(columns, low)
    drawn.append(
        Words(x=scale.x(0), y=y + 12, text=_band_name(about), size=size, anchor="middle", ink="ink2")
    )
    return [*drawn, *_page_head(columns, about, low, body.right)]


def _numbers(columns: Columns, y: float) -> list[Words]:
    """Round differences, the unit at the last."""
    scale, size = columns.scale, columns.frame.style.text[1]
    ticks = nice_steps(2 * scale.reach, 4)
    steps = range(-int(scale.reach // ticks), int(scale.reach // ticks) + 1)
    return [
        Words(x=scale.x(i * ticks), y=y, text=_tick(i * ticks, last=i == steps[-1]), size=size,
              anchor="middle", ink="ink2")
        for i in steps
    ]  # fmt: skip


def _numbers_below(columns: Columns) -> list[Drawn]:
    """The same below the rows of a card, each with a tick; every other where they would crowd."""
    style, bottom = columns.frame.style, floor(columns.frame)
    size = style.text[1]
    words = _numbers(columns, bottom + 0.92 * size)
    crowded = any(right.box.left - left.box.right < 0.3 * size for left, right in pairwise(words))
    kept = words[::2] if crowded and len(words) % 4 == 1 else words[1::2] if crowded else words
    pen = Pen(ink="post", width=style.hair * 1.3)
    return [*(line((w.x, bottom), (w.x, bottom + 3 * style.unit), pen) for w in kept), *kept]


def _page_head(columns: Columns, about: Pair, y: float, right: float) -> list[Drawn]:
    style = columns.frame.style
    words = f"{over(about)}, {level_words(about.level)} interval"
    room = columns.words_room - style.text[1]  # the last tick reaches towards it
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
    room = _side_room(right=right, columns=columns, about=about)
    whole = about.called(setup, room, size)
    name = elide_name(whole, " ahead", room, size=size, face=Face.STRONG)
    words = Words(x=0, y=y, text=name, size=size, face=Face.STRONG)
    wide = named_width(words, style)
    edge = scale.x(100 * about.margin if right else -100 * about.margin)
    wished = (edge + (scale.right if right else scale.left)) / 2 - wide / 2
    x = min(max(wished, min(inner, outer)), max(inner, outer) - wide)
    return named(about.names.slot(setup), replace(words, x=x), style)


def _side_room(*, right: bool, columns: Columns, about: Pair) -> float:
    """How wide the words of a side may be, beside their mark."""
    inner, outer = _half(right=right, columns=columns, about=about)
    return abs(outer - inner) - _mark_room(columns)


def _mark_room(columns: Columns) -> float:
    return named_width(Words(x=0, y=0, text="", size=1), columns.frame.style)


def _half(*, right: bool, columns: Columns, about: Pair) -> tuple[float, float]:
    """Where a side's name may stand: from beside the band's own name to the end of the scale.

    On a card nothing stands over the names of the rows, and what stands over the words at the right may be
    narrower than they are.
    """
    style, scale = columns.frame.style, columns.scale
    clear = 6 * style.unit
    if style.roomy:
        clear += width(_band_name(about), style.text[1]) / 2
    middle = scale.x(0)
    if style.roomy:
        return (middle + clear, scale.right) if right else (middle - clear, scale.left)
    body = columns.frame.body
    if style.narrow:
        return (middle + clear, body.right) if right else (middle - clear, body.left)
    subject = min(columns.words_room, subject_width(about, style)) + 0.7 * style.text[0]
    return (middle + clear, body.right - subject) if right else (middle - clear, body.left)


def _band_name(about: Pair) -> str:
    return f"level: within {margin_words(about.margin)}"


def _subject_room(columns: Columns) -> float:
    return columns.words_room - _mark_room(columns) + 1


def _subject(columns: Columns, about: Pair, y: float) -> list[Drawn]:
    style = columns.frame.style
    if not about.subject:
        return []
    name = fit(
        about.names.setup(about.a), _subject_room(columns), sizes=(style.text[1], style.text[1])
    ).lines[0]
    words = Words(x=0, y=y, text=name, size=style.text[1], ink="ink2")
    x = columns.frame.body.right - named_width(words, style)
    return list(named(about.names.slot(about.a), replace(words, x=x), style))
