"""How the lead of a pair moves as one weight goes from nothing to all, with audiences where they stand on it.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone. The line and the
fan about it wear the colour of the setup in front; the band between its posts is level.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_audiences import audiences, labels_of, sides
from evenhand.publish.figures.lead_labels import LINE, Label, free_height
from evenhand.publish.figures.lead_plot import BOTTOM, TOP, Lead, Plot, StandsAt, doubtful, turning
from evenhand.publish.figures.percent_svg import box, figure, level, upright, word
from evenhand.publish.numbers import margin_words, number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture

HIGH, AXIS = 318, 288.0  # px: of all, and the axis
ROOM = 1.16  # of the widest end: the scale reaches a little further
NEAR = 0.09  # of the weight: an audience so near to a tick of the axis gets none of its own
# Where a slider puts what it asks about; hidden until it is moved.
HERE = (
    '<svg id="lead-here" visibility="hidden" x="0" y="0" width="1" height="1" overflow="visible">'
    '<line class="axis here" x1="0" x2="0"/><circle class="dot hol here" r="6"/></svg>'
)


def lead_by_weight(lead: Lead, about: Pair, stands: Sequence[StandsAt], weight: str) -> Picture:
    """The figure. `weight` is what the weight is called ("games")."""
    ends = [*lead.percent, *(lead.low or ()), *(lead.high or ())]
    plot = Plot(reach=ROOM * max(*map(abs, ends), 100 * about.margin), margin=about.margin)
    turn = turning(lead)
    body = [
        *_ground(plot, about), *_lines(lead, plot, about),
        *_turn(lead, turn, plot, (weight, (*sides(plot, about), *labels_of(lead, stands, plot, about)))),
        *audiences(lead, stands, plot, about), *_axis(stands, weight), HERE,
    ]  # fmt: skip
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    title = f"Index of {a} over {b} against the share of {weight}"
    seen = seen_words(lead, turn, about, weight)
    scale = f' data-reach="{plot.reach:.6g}" data-middle="{plot.zero:g}" data-half="{(BOTTOM - TOP) / 2:g}"'
    svg = figure("".join(body), HIGH, title=title, seen=seen, kind="lead-by-weight", data=scale)
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def heading(lead: Lead, about: Pair, weight: str) -> str:
    """What the figure shows, as a sentence without a stop."""
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    if turning(lead) is None:
        first = a if lead.percent[-1] + lead.percent[0] > 0 else b
        return f"{first} stays in front, whatever the share of {weight}"
    first, then = (b, a) if lead.percent[-1] > 0 else (a, b)
    return f"The lead tips from {first} to {then} as more of the weight goes to {weight}"


def seen_words(lead: Lead, turn: float | None, about: Pair, weight: str) -> str:
    """What is seen, in words."""
    a = about.names.setup(about.a)
    first, last = (with_unit(number(p, 1, signed=True), "%") for p in (lead.percent[0], lead.percent[-1]))
    crosses = "" if turn is None else f" and crosses zero at {with_unit(number(100 * turn), '%')}"
    return f"From {a} {first} with no {weight} to {last} with nothing else{crosses}."


def _ground(plot: Plot, about: Pair) -> Iterator[str]:
    high, low = plot.edges
    yield box(0, high, 100, low - high)
    yield from (level(high, "post"), level(low, "post"), level(plot.zero, "zero"))
    for side in sides(plot, about):
        yield word(side.said, side.x, side.y, kind="str", anchor=side.anchor)
    least = margin_words(about.margin).replace("±", "+")
    yield word(f"{least}, the least that matters", 0, high + 17, kind="mut wide-only")
    yield word(least.replace("+", "−"), 100, low - 7, anchor="end")


def _lines(lead: Lead, plot: Plot, about: Pair) -> Iterator[str]:
    """Line and fan in pieces, each in the colour of the setup in front."""
    view = f'viewBox="0 0 100 {HIGH}" preserveAspectRatio="none" overflow="visible"'
    yield f'<svg width="100%" height="{HIGH}" {view}>'
    pieces = [(_slot(percents, about), piece) for piece, percents in _pieces(lead)]
    for slot, piece in pieces:
        if lead.low is not None and lead.high is not None:
            top = [_point(lead.shares[i], plot.y(lead.high[i])) for i in piece]
            under = [_point(lead.shares[i], plot.y(lead.low[i])) for i in reversed(piece)]
            yield f'<path class="fan b{slot.number}" d="M{" ".join([*top, *under])}Z"/>'
    for slot, piece in pieces:
        d = " ".join(_point(lead.shares[i], plot.y(lead.percent[i])) for i in piece)
        yield f'<path class="ln b{slot.number}" vector-effect="non-scaling-stroke" d="M{d}"/>'
    yield "</svg>"


def _pieces(lead: Lead) -> Iterator[tuple[list[int], list[float]]]:
    """Runs of places with one setup in front; each holds the first place of the next too: they meet."""
    piece: list[int] = []
    for i, percent in enumerate(lead.percent):
        piece.append(i)
        last = i + 1 == len(lead.percent)
        if last or (lead.percent[i + 1] > 0) != (percent > 0):
            own = [lead.percent[k] for k in piece]
            yield (piece if last else [*piece, i + 1]), own
            piece = []


def _slot(percents: Sequence[float], about: Pair) -> Slot:
    return about.names.slot(about.a if sum(percents) > 0 else about.b)


def _point(share: float, y: float) -> str:
    return f"{100 * share:.1f} {y:.1f}"


def _turn(lead: Lead, turn: float | None, plot: Plot, told: tuple[str, Sequence[Label]]) -> Iterator[str]:
    """Where the other side comes to the front, its words where they touch no label of an audience."""
    if turn is None:
        return
    x, (weight, labels) = 100 * turn, told
    anchor, dx = ("end", -9) if turn > 0.5 else ("start", 9)
    between = doubtful(lead)
    said = f"turns at {with_unit(number(x), '%')} {weight}"
    ends = f"{number(100 * between[0])} to {with_unit(number(100 * between[1]), '%')}" if between else ""
    label = Label(x=x, y=plot.zero - 53, said=said, anchor=anchor, dx=dx)
    room, lines = (TOP + 26, BOTTOM - 24), 2 if ends else 1
    first = free_height(label, labels, between=room, lines=lines, drawn=plot.edges)
    yield upright(x, min(first - 9, plot.zero), max(first + 3, plot.zero + 7), "axis turn")
    yield word(said, x, first, kind="str halo on-band", anchor=anchor, dx=dx)
    if ends:
        yield word(ends, x, first + LINE, kind="mut halo on-band wide-only", anchor=anchor, dx=dx)


def _axis(stands: Sequence[StandsAt], weight: str) -> Iterator[str]:
    yield level(AXIS - 6)
    ticks = {0.0: f"no {weight}", 0.5: with_unit("50", "%"), 1.0: f"all {weight}"}
    for each in stands:
        if all(abs(each.share - tick) > NEAR for tick in ticks):
            ticks[each.share] = with_unit(number(100 * each.share), "%")
    labels = {share: _tick(share, said) for share, said in ticks.items()}
    for share, label in labels.items():
        crowded = any(label.touches(other) for other in labels.values() if other is not label)
        kind = "mut wide-only" if crowded and share not in (0.0, 0.5, 1.0) else "mut"
        yield upright(label.x, AXIS - 6, AXIS)
        yield word(label.said, label.x, label.y, kind=kind, anchor=label.anchor)


def _tick(share: float, said: str) -> Label:
    anchor = "start" if share == 0 else "end" if share == 1 else "middle"
    return Label(x=100 * share, y=AXIS + 17, said=said, anchor=anchor)
