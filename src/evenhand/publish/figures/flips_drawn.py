"""One change that flips a verdict, drawn as a row: where it stands now, and where it would have to go."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_labels import Box, Label
from evenhand.publish.figures.percent_svg import at, box, level, upright, word
from evenhand.publish.money_words import bare_amount
from evenhand.publish.numbers import number
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture
from evenhand.publish.spans import in_front, percent
from evenhand.records.prices import Currency
from evenhand.verdicts.moves import Flip, Lever, Move

HIGH, MIDDLE = 54, 26
TICK = '<path class="to" d="M0-9V9"/>'
MARK = 7.0  # px: half a mark
WIDTHS = (300.0, 330.0, 390.0, 460.0, 560.0)  # px that a row has, on a phone and on a desk
NEAR = 14.0  # per cent of the width that a label takes: nearer to an end it turns inwards


@dataclass(frozen=True, slots=True, kw_only=True)
class FlipScene:
    """What a flip is drawn against: the pair, a over b now as a ratio, and the study's currency."""

    about: Pair
    ratio: float
    currency: Currency | None


def flip_row(flip: Flip, scene: FlipScene) -> Picture:
    """The row of a flip; of two changes together that of the one that moves by steps."""
    move = next((m for m in flip.moves if m.after is not None), flip.moves[0])
    if move.after is None or move.before is None:
        return _ratio_row(flip, scene)
    if move.lever is Lever.PRICE:
        return _price_row(move, scene)
    return _share_row(move, scene)


def _price_row(move: Move, scene: FlipScene) -> Picture:
    before, after = move.before or 0.0, move.after or 0.0
    room = 2.2 * abs(after - before)
    low, high = min(before, after) - room, max(before, after) + room

    def told(minor: float) -> str:
        return bare_amount(minor, scene.currency) if scene.currency else number(minor)

    slot = scene.about.names.slot(move.name)
    return _moved(_step(before, after, told, x=lambda v: 100 * (v - low) / (high - low)), slot)


def _share_row(move: Move, scene: FlipScene) -> Picture:
    """A weight on its way from nothing to all, or the margin from nothing to a fifth or twice where it is."""
    before, after = move.before or 0.0, move.after or 0.0
    whole = 1.0 if move.lever is Lever.WEIGHT else max(2 * before, 1.25 * after)

    def told(share: float) -> str:
        return number(100 * share, 1).removesuffix(".0")

    in_front = scene.about.a if scene.ratio >= 1 else scene.about.b
    return _moved(_step(before, after, told, x=lambda v: 100 * v / whole), scene.about.names.slot(in_front))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """From where to where, in per cent of the width, with both in words."""

    start: float
    end: float
    now: str
    then: str


def _step(before: float, after: float, told: Callable[[float], str], *, x: Callable[[float], float]) -> _Step:
    return _Step(start=x(before), end=x(after), now=f"{told(before)} now", then=told(after))


def _moved(step: _Step, slot: Slot) -> Picture:
    dot = f'<path class="dot b{slot.number}" d="{slot.mark}"/>'
    return _picture(_line(step) + at(step.start, MIDDLE, dot) + at(step.end, MIDDLE, TICK) + _words(step))


def _ratio_row(flip: Flip, scene: FlipScene) -> Picture:
    """What does not move by steps: the index now and after it, beside the level band.

    Each number is that of whoever is in front, as in every sentence; its side of the middle says of whom.
    """
    names, margin = scene.about.names, 100 * scene.about.margin
    now, then = percent(scene.ratio), percent(flip.ratio)
    reach = max(1.6 * abs(now), 1.6 * abs(then), 2 * margin)

    def x(value: float) -> float:
        return 50 + 50 * value / reach

    left, right = x(-margin), x(margin)
    ground = box(left, 1, right - left, 52) + upright(left, 1, 53, "post") + upright(right, 1, 53, "post")
    ground += upright(50, 1, 53, "zero")
    step = _step(now, then, lambda v: number(in_front(v), 1), x=x)
    before, after = (names.slot(scene.about.a if v >= 0 else scene.about.b) for v in (now, then))
    dots = at(step.start, MIDDLE, f'<path class="dot b{before.number}" d="{before.mark}"/>')
    dots += at(step.end, MIDDLE, f'<path class="dot hol b{after.number}" d="{after.mark}"/>')
    way = level(MIDDLE, "axis way", start=min(step.start, step.end), end=max(step.start, step.end))
    return _picture(ground + way + dots + _clear_words(step, (left, 50.0, right)))


def _clear_words(step: _Step, uprights: Sequence[float]) -> str:
    """Both numbers where no line upwards, no mark and not the other number is in the way, at every width."""
    rightwards = step.end >= step.start
    found: list[Label] = []
    written = ""
    for said, where, left, kind in (
        (step.then, step.end, not rightwards, "str"), (step.now, step.start, rightwards, "mut"),
    ):  # fmt: skip
        beyond = min(uprights) if left else max(uprights)
        tried = [*_around(said, where, left=left), _beside(said, beyond, left=left, far=7.0)]
        label = next((each for each in tried if _is_clear(each, step, uprights, found)), tried[1])
        found.append(label)
        written += word(said, label.x, label.y, kind=kind, anchor=label.anchor, dx=label.dx)
    return written


def _around(said: str, where: float, *, left: bool) -> list[Label]:
    """Beside a mark on its outer side, then above and below it, centred and turned to either side."""
    turned = (("middle", 0.0), ("end", 8.0), ("start", -8.0), ("end", -4.0), ("start", 4.0))
    places = [(turn, y) for y in (MIDDLE - 13.0, MIDDLE + 21.0) for turn in turned]
    about = [Label(x=where, y=y, said=said, anchor=anchor, dx=dx) for (anchor, dx), y in places]
    return [_beside(said, where, left=left), *about]


def _beside(said: str, where: float, *, left: bool, far: float = 13.0) -> Label:
    anchor, dx = ("end", -far) if left else ("start", far)
    return Label(x=where, y=MIDDLE + 5.0, said=said, anchor=anchor, dx=dx)


def _is_clear(label: Label, step: _Step, uprights: Sequence[float], others: Sequence[Label]) -> bool:
    for wide in WIDTHS:
        box = label.box(wide)
        lines = [Box(left=x * wide / 100, right=x * wide / 100, top=1, bottom=53) for x in uprights]
        marks = [
            Box(
                left=x * wide / 100 - MARK,
                right=x * wide / 100 + MARK,
                top=MIDDLE - MARK,
                bottom=MIDDLE + MARK,
            )
            for x in (step.start, step.end)
        ]
        words = [other.box(wide) for other in others]
        if box.left < 0 or box.right > wide or any(box.meets(each, 2) for each in (*lines, *marks, *words)):
            return False
    return True


def _line(step: _Step) -> str:
    low, high = sorted((step.start, step.end))
    return level(MIDDLE, "gridline") + level(MIDDLE, "axis way", start=low, end=high)


def _words(step: _Step) -> str:
    """Both numbers on the outer sides, inwards and above where there is no room."""
    rightwards = step.end >= step.start
    return _word(step.now, step.start, left=rightwards, kind="mut") + _word(
        step.then, step.end, left=not rightwards, kind="str"
    )


def _word(said: str, where: float, *, left: bool, kind: str) -> str:
    squeezed = where < NEAR if left else where > 100 - NEAR
    if squeezed:
        anchor, x, y = ("start", -8, -14) if left else ("end", 8, -14)
    else:
        anchor, x, y = ("end", -13, 5) if left else ("start", 13, 5)
    return word(said, where, MIDDLE + y, kind=f"{kind} halo", anchor=anchor, dx=x)


def _picture(body: str) -> Picture:
    """Hidden from who cannot see it: the words of the row say all of it."""
    svg = f'<svg class="iv flip" aria-hidden="true" height="{HIGH}">{body}</svg>'
    return Picture(svg=svg, width=0, height=HIGH, title="", description="")
