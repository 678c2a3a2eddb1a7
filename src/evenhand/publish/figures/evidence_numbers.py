"""One number of each run on one scale: this run's, its siblings', and those of other setups in rows below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.axes import TICK, held
from evenhand.publish.figures.evidence_stacks import REACH, Stack, stack
from evenhand.publish.figures.frame import centred, nice_steps, tick_decimals
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, number, run_words, with_unit
from evenhand.publish.palette import DISC
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark, rect
from evenhand.triage.exhibits.forms import Numbers

NUMBERS_ROW = 1.5  # of the type size: from one row to the next
OWN = 1.35  # of a mark's size: this run's


def numbers_height(view: Numbers, style: Style) -> float:
    """How high the rows and the scale below them stand."""
    return (NUMBERS_ROW * (1 + len(view.peers)) + 1.3 + 1.0) * style.text[1]


def numbers_captions(view: Numbers, *, stacked: bool = False) -> list[str]:
    """What the marks are, in sentences of which the first matters most."""
    alike = ["Stacked: alike."] if stacked else []
    grey = [f"Grey: {counted(len(view.siblings), 'sibling')}."] if view.siblings else []
    band = [f"Band: {view.expected_words}."] if view.expected and view.expected_words else []
    return [f"{view.what}.", *band, *alike, *grey]


@dataclass(frozen=True, slots=True, kw_only=True)
class Whose:
    """Whose numbers they are: the run's `setup`, the names, and the setup of each other run by id."""

    setup: str
    names: Names
    setups: Mapping[str, str]

    def rows(self, view: Numbers) -> list[str]:
        """The setup of each row, this run's first; nothing where no other setup stands beside it."""
        return [self.setup, *(self.setups[peer.run] for peer in view.peers)] if view.peers else []


def draw_numbers(view: Numbers, box: Box, style: Style, whose: Whose) -> list[Drawn]:
    """This run's mark in its colour with its number over it, siblings hollow; other setups in rows below."""
    scale = _number_scale(view, box, style, whose)
    pitch = scale.pitch(view)
    first = scale.plot.top + pitch / 2
    drawn = [*_expected(view, scale), *_scale_below(scale, view.unit), *_own_row(view, scale, whose)]
    called, names, size = whose.rows(view), whose.names, style.text[1]
    for i, key in enumerate(called):
        y = centred(first + i * pitch, size)
        drawn.append(Words(x=box.left, y=y, text=names.setup(key), size=size, ink="ink2"))
    for i, peer in enumerate(view.peers, start=1):
        slot = names.slot(called[i])
        drawn += _hollow(
            peer.values, peer_stack(peer.values, scale, view), (slot.mark, slot.ink), scale, first + i * pitch
        )
    return drawn


def _hollow(
    values: Sequence[float], stacked: Stack, look: tuple[str, str], scale: NumberScale, y: float
) -> list[Drawn]:
    """Hollow marks of a form and an ink, stacked on the row at `y`."""
    form, ink = look
    return [
        mark(form, (scale.x(v), y + off), scale=stacked.scale, ink=ink, hollow=True)
        for v, off in zip(values, stacked.offsets, strict=True)
    ]


def peer_stack(values: Sequence[float], scale: NumberScale, view: Numbers) -> Stack:
    """How the marks of another setup stand."""
    return stack([scale.x(v) for v in values], unit=scale.style.unit, pitch=scale.pitch(view))


def sibling_stack(scale: NumberScale, view: Numbers) -> Stack:
    """How the siblings' marks stand, beside this run's."""
    places = [scale.x(v) for v in view.siblings]
    return stack(places, unit=scale.style.unit, pitch=scale.pitch(view), closed=[scale.x(view.own)])


def stacks(view: Numbers, box: Box, style: Style, whose: Whose) -> bool:
    """Whether any marks stand above each other."""
    scale = _number_scale(view, box, style, whose)
    peers = (peer_stack(peer.values, scale, view) for peer in view.peers)
    return any(each.stacked for each in (sibling_stack(scale, view), *peers))


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberScale:
    """A number to pixels within `plot`, and the step of the ticks below."""

    plot: Box
    style: Style
    low: float
    high: float
    step: float

    def x(self, value: float) -> float:
        """The place of a number."""
        share = (value - self.low) / (self.high - self.low)
        return self.plot.left + share * (self.plot.right - self.plot.left)

    def pitch(self, view: Numbers) -> float:
        """How high a row stands: this run's, and one for each other setup."""
        return (self.plot.bottom - self.plot.top) / (1 + len(view.peers))


def _number_scale(view: Numbers, box: Box, style: Style, whose: Whose) -> NumberScale:
    size = style.text[1]
    called = [whose.names.setup(key) for key in whose.rows(view)]
    left = box.left + max((width(name, size) + 1.2 * size for name in called), default=0.0)
    plot = Box(left=left, top=box.top + size, right=box.right, bottom=box.bottom - 1.3 * size)
    low, high, step = _range(view, plot, style)
    return NumberScale(plot=plot, style=style, low=low, high=high, step=step)


def _own_row(view: Numbers, scale: NumberScale, whose: Whose) -> list[Drawn]:
    """Siblings hollow and grey, this run's mark larger, its number in words beside it."""
    style, slot = scale.style, whose.names.slot(whose.setup)
    x, y = scale.x(view.own), scale.plot.top + scale.pitch(view) / 2
    siblings = _hollow(view.siblings, sibling_stack(scale, view), (DISC, "grey"), scale, y)
    own = mark(slot.mark, (x, y), scale=OWN * style.unit, ink=slot.ink)
    return [*siblings, own, _own_words(view, scale, y)]


def _own_words(view: Numbers, scale: NumberScale, y: float) -> Words:
    """The number over its mark, or to one side of it: wherever it crosses no post and hides no sibling."""
    plot, x = scale.plot, scale.x(view.own)
    style = scale.style
    reach = OWN * REACH * style.unit
    above = Words(
        x=x, y=y - 12 * style.unit, text=view.own_words or run_words(view.own, view.unit),
        size=style.text[1], face=Face.STRONG, anchor="middle",
    )  # fmt: skip
    beside = replace(above, y=centred(y, above.size))
    spots = (
        held(above, plot),
        replace(above, x=x + reach, anchor="end"),
        replace(above, x=x - reach, anchor="start"),
        replace(beside, x=x - 1.4 * reach, anchor="end"),
        replace(beside, x=x + 1.4 * reach, anchor="start"),
    )
    closed = [
        Box(left=p - 3, top=plot.top, right=p + 3, bottom=plot.bottom)
        for p in map(scale.x, view.expected or ())
    ]
    stacked, half = sibling_stack(scale, view), REACH * style.unit
    for value, off in zip(view.siblings, stacked.offsets, strict=True):
        closed.append(_around(scale.x(value), y + off, half))
    wide = replace(plot, top=plot.top - style.text[1])
    free = (w for w in spots if w.box.inside(wide) and not any(w.box.meets(each) for each in closed))
    return next(free, spots[0])


def _around(x: float, y: float, half: float) -> Box:
    return Box(left=x - half, top=y - half, right=x + half, bottom=y + half)


def _range(view: Numbers, plot: Box, style: Style) -> tuple[float, float, float]:
    values = [view.own, *view.siblings, *(v for p in view.peers for v in p.values), *(view.expected or ())]
    low, high = min(values), max(values)
    spread = (high - low) or max(abs(high), 1.0) * 0.1
    most = max(1, min(6, int((plot.right - plot.left) / (5 * style.text[1]))))
    return low - 0.08 * spread, high + 0.08 * spread, nice_steps(1.16 * spread, most)


def _expected(view: Numbers, scale: NumberScale) -> list[Drawn]:
    """The range that was expected of this run's row, between its posts."""
    if view.expected is None:
        return []
    plot = replace(scale.plot, bottom=scale.plot.top + scale.pitch(view))
    post = Pen(ink="post", width=scale.style.post * 0.8)
    left, right = (scale.x(end) for end in view.expected)
    ground = rect(replace(plot, left=left, right=right), fill="band")
    return [ground, *(line((x, plot.top), (x, plot.bottom), post) for x in (left, right))]


def _scale_below(scale: NumberScale, unit: str) -> list[Drawn]:
    """Round numbers below the ground line, the unit at the last."""
    plot, style, size = scale.plot, scale.style, scale.style.text[1]
    pen, decimals = Pen(ink="post", width=style.hair), tick_decimals(scale.step)
    ticks = [i * scale.step for i in range(-int(-scale.low // scale.step), int(scale.high // scale.step) + 1)]
    drawn: list[Drawn] = [line((plot.left, plot.bottom), (plot.right, plot.bottom), pen)]
    for t in ticks:
        text = with_unit(number(t, decimals), unit) if t == ticks[-1] else number(t, decimals)
        x = scale.x(t)
        drawn.append(line((x, plot.bottom), (x, plot.bottom + TICK * style.unit), pen))
        words = Words(x=x, y=plot.bottom + 1.1 * size, text=text, size=size, anchor="middle", ink="ink2")
        drawn.append(held(words, plot))
    return drawn
