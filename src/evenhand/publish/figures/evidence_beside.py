"""Views without time: how often frames take how long, one number of each run, one stamp of each run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.axes import TICK, Axes, held
from evenhand.publish.figures.frame import centred, nice_steps, tick_decimals
from evenhand.publish.figures.thinning import Floats
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, listed, number, run_words, with_unit
from evenhand.publish.palette import DISC, Slot
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Shape, Words, line, mark, rect
from evenhand.triage.exhibits.forms import Density, Numbers, Saying, Sayings

ROW = 1.45  # of the type size: from one row to the next
NUMBERS_ROW = 1.5
MOST_STAMPS = 5


def draw_density(view: Density, axes: Axes, slot: Slot) -> list[Drawn]:
    """Bars to the right, upward on the trace's own milliseconds; siblings a pale ground behind them."""
    box = axes.box
    most = max(float(s.max()) for s in (view.share, *view.siblings) if s.size) or 1.0
    drawn: list[Drawn] = []
    for window in view.marked:
        middle = axes.y((window.from_ms + window.to_ms) / 2)
        reach = max((axes.y(window.from_ms) - axes.y(window.to_ms)) / 2, 2 * axes.style.unit)
        ground = Box(left=box.left, top=middle - reach, right=box.right, bottom=middle + reach)
        drawn.append(rect(ground, fill="band"))
    pale = "".join(_bars(view.edges_ms, share, axes, most) for share in view.siblings)
    if pale:
        drawn.append(Shape(tag="path", place={"d": pale, "fill-opacity": "0.5"}, paint={"fill": "grey"}))
    own = _bars(view.edges_ms, view.share, axes, most)
    drawn.append(Shape(tag="path", place={"d": own}, paint={"fill": slot.ink}))
    drawn.append(line((box.left, box.top), (box.left, box.bottom), Pen(ink="post", width=axes.style.hair)))
    return drawn + _window_words(view, axes)


def _bars(edges_ms: Floats, share: Floats, axes: Axes, most: float) -> str:
    """The outline of a density: up along its bins, each as long as its share, and straight back."""
    box, parts = axes.box, []
    for low, high, part in zip(edges_ms[:-1], edges_ms[1:], share, strict=True):
        if part > 0 and high > axes.low and low < axes.high:
            top, bottom = axes.y(float(high)), axes.y(float(low))
            right = box.left + float(part) / most * (box.right - box.left)
            middle, tall = (top + bottom) / 2, max(bottom - top, 1.2 * axes.style.unit)
            top, bottom = middle - tall / 2, middle + tall / 2
            parts.append(f"M{box.left:.1f} {bottom:.1f}V{top:.1f}H{right:.1f}V{bottom:.1f}Z")
    return "".join(parts)


def _window_words(view: Density, axes: Axes) -> list[Drawn]:
    """Each window in words just over it, or under it where the top is near; two at most."""
    size, box = axes.style.text[1], axes.box
    drawn: list[Drawn] = []
    taken: list[Box] = []
    for window in view.marked[:2]:
        y = axes.y(window.to_ms) - 0.45 * size
        said = fit(window.words, box.right - box.left, sizes=(size, size), face=Face.STRONG).lines[0]
        words = Words(x=box.right, y=y, text=said, size=size, face=Face.STRONG, anchor="end", halo="paper")
        under = replace(words, y=axes.y(window.from_ms) + 1.05 * size)
        for one in (words, under):
            if one.box.top >= box.top and not any(one.box.meets(t) for t in taken):
                drawn.append(one)
                taken.append(one.box)
                break
    return drawn


def numbers_height(view: Numbers, style: Style) -> float:
    """How high the rows and the scale below them stand."""
    return (NUMBERS_ROW * (1 + len(view.peers)) + 1.3 + 1.0) * style.text[1]


def numbers_captions(view: Numbers) -> list[str]:
    """What the marks are, in sentences of which the first matters most."""
    grey = [f"Grey: {counted(len(view.siblings), 'sibling')}."] if view.siblings else []
    band = [f"Band: {view.expected_words}."] if view.expected and view.expected_words else []
    return [f"{view.what}.", *band, *grey]


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
    rows = 1 + len(view.peers)
    pitch = (scale.plot.bottom - scale.plot.top) / rows
    first = scale.plot.top + pitch / 2
    drawn = [*_expected(view, scale), *_scale_below(scale, view.unit), *_own_row(view, scale, whose, first)]
    called, names, size = whose.rows(view), whose.names, style.text[1]
    for i, key in enumerate(called):
        y = centred(first + i * pitch, size)
        drawn.append(Words(x=box.left, y=y, text=names.setup(key), size=size, ink="ink2"))
    for i, peer in enumerate(view.peers, start=1):
        slot, y = names.slot(called[i]), first + i * pitch
        drawn += [
            mark(slot.mark, (scale.x(v), y), scale=style.unit, ink=slot.ink, hollow=True) for v in peer.values
        ]
    return drawn


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


def _number_scale(view: Numbers, box: Box, style: Style, whose: Whose) -> NumberScale:
    size = style.text[1]
    called = [whose.names.setup(key) for key in whose.rows(view)]
    left = box.left + max((width(name, size) + 1.2 * size for name in called), default=0.0)
    plot = Box(left=left, top=box.top + size, right=box.right, bottom=box.bottom - 1.3 * size)
    low, high, step = _range(view, plot, style)
    return NumberScale(plot=plot, style=style, low=low, high=high, step=step)


def _own_row(view: Numbers, scale: NumberScale, whose: Whose, y: float) -> list[Drawn]:
    """Siblings hollow and grey, this run's mark larger, its number in words above."""
    style, slot = scale.style, whose.names.slot(whose.setup)
    siblings = [mark(DISC, (scale.x(v), y), scale=style.unit, ink="grey", hollow=True) for v in view.siblings]
    own = mark(slot.mark, (scale.x(view.own), y), scale=1.35 * style.unit, ink=slot.ink)
    said = Words(
        x=scale.x(view.own), y=y - 12 * style.unit, text=view.own_words or run_words(view.own, view.unit),
        size=style.text[1], face=Face.STRONG, anchor="middle",
    )  # fmt: skip
    return [*siblings, own, held(said, scale.plot)]


def _range(view: Numbers, plot: Box, style: Style) -> tuple[float, float, float]:
    values = [view.own, *view.siblings, *(v for p in view.peers for v in p.values), *(view.expected or ())]
    low, high = min(values), max(values)
    spread = (high - low) or max(abs(high), 1.0) * 0.1
    most = max(1, min(6, int((plot.right - plot.left) / (5 * style.text[1]))))
    return low - 0.08 * spread, high + 0.08 * spread, nice_steps(1.16 * spread, most)


def _expected(view: Numbers, scale: NumberScale) -> list[Drawn]:
    """The range that was expected, between its posts."""
    if view.expected is None:
        return []
    plot, post = scale.plot, Pen(ink="post", width=scale.style.post * 0.8)
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


def stamps_height(view: Sayings, style: Style) -> float:
    """How high the rows stand."""
    return ROW * style.text[1] * (len(view.rows) if style.roomy else min(len(view.rows), MOST_STAMPS))


def draw_stamps(view: Sayings, box: Box, style: Style) -> list[Drawn]:
    """Who says what, one row each, the odd one on a rose ground and strong; what does not fit is counted."""
    size, room = style.text[1], box.bottom - box.top
    fitting = max(1, int(room / (1.2 * size)))
    rows = list(_shown(view.rows, fitting))
    pitch = min(room / len(rows), ROW * size)
    drawn: list[Drawn] = []
    middle = (box.left + box.right) / 2
    for i, row in enumerate(rows):
        top = box.top + i * pitch
        face, ink = (Face.STRONG, "fault") if row.odd else (Face.TEXT, "ink")
        if row.odd:
            drawn.append(
                rect(Box(left=box.left, top=top, right=box.right, bottom=top + pitch), fill="fault-bg")
            )
        y = centred(top + pitch / 2, size)
        for x, text in ((box.left + 0.4 * size, row.who), (middle, row.value)):
            said = fit(text, (box.right - box.left) / 2 - 0.6 * size, sizes=(size, size), face=face).lines[0]
            drawn.append(Words(x=x, y=y, text=said, size=size, face=face, ink=ink))
        rule = Pen(ink="line", width=style.hair)
        drawn.append(line((box.left, top + pitch), (box.right, top + pitch), rule))
    return drawn


def _shown(rows: Sequence[Saying], fitting: int) -> list[Saying]:
    """As many rows as fit, odd ones before others; the rest are counted on the last."""
    if len(rows) <= fitting:
        return list(rows)
    wanted = sorted(rows, key=lambda row: not row.odd)[: fitting - 1]
    left = [row for row in rows if row not in wanted]
    others = ", ".join(dict.fromkeys(row.value for row in left))
    return [*(row for row in rows if row in wanted), Saying(who=counted(len(left), "more run"), value=others)]


def stamps_caption(view: Sayings) -> str:
    """What the rows are."""
    return f"{view.what}."


def described(view: object) -> list[str]:
    """What is seen in a view without time, in full; nothing of another view."""
    if isinstance(view, Numbers):
        siblings = tuple(run_words(v, view.unit) for v in view.siblings)
        others = f"; siblings {listed(siblings)}" if siblings else ""
        own = view.own_words or run_words(view.own, view.unit)
        return [*numbers_captions(view), f"This run {own}{others}."]
    if isinstance(view, Sayings):
        return [stamps_caption(view), f"{'; '.join(f'{row.who}: {row.value}' for row in view.rows)}."]
    return []
