"""Views without time: how often frames take how long, one stamp of each run; what all such views say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.publish.faces import Face, fit
from evenhand.publish.figures.axes import Axes
from evenhand.publish.figures.evidence_numbers import numbers_captions
from evenhand.publish.figures.frame import centred
from evenhand.publish.figures.thinning import Floats
from evenhand.publish.numbers import counted, listed, run_words
from evenhand.publish.palette import Slot
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Shape, Words, line, rect
from evenhand.triage.exhibits.forms import Density, Numbers, Saying, Sayings

ROW = 1.45  # of the type size: from one row to the next
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
