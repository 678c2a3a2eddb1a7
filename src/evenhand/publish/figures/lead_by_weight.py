"""How the lead of a pair moves as one weight goes from nothing to all, with audiences where they stand on it.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone. The line and the
fan about it wear the colour of the setup in front; the band between its posts is level.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_labels import LINE, Label, free_height
from evenhand.publish.figures.percent_svg import at, box, figure, level, upright, word
from evenhand.publish.numbers import decimals_for, margin_words, number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture

HIGH, TOP, BOTTOM, AXIS = 318, 24.0, 276.0, 288.0  # px: of all, where the scale ends, and the axis
ROOM = 1.16  # of the widest end: the scale reaches a little further
NEAR = 0.09  # of the weight: an audience so near to a tick of the axis gets none of its own
CROWDED = 0.25  # of the weight: so near to an end, or half so near to another, a tick has no words on a phone
EDGE = 12.0  # per cent of the width: a label nearer to an end is not centred
# Where a slider puts what it asks about; hidden until it is moved.
HERE = (
    '<svg id="lead-here" visibility="hidden" x="0" y="0" width="1" height="1" overflow="visible">'
    '<line class="axis here" x1="0" x2="0"/><circle class="dot hol here" r="6"/></svg>'
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """a over b in per cent under `shares` (0 to 1) of one weight, with the ends of its interval, if known."""

    shares: tuple[float, ...]
    percent: tuple[float, ...]
    low: tuple[float, ...] | None
    high: tuple[float, ...] | None

    def at(self, share: float) -> tuple[float, float | None, float | None]:
        """The lead at the nearest share on record, with its interval."""
        i = min(range(len(self.shares)), key=lambda k: abs(self.shares[k] - share))
        ends = (None, None) if self.low is None or self.high is None else (self.low[i], self.high[i])
        return self.percent[i], *ends


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsAt:
    """An audience by its share of the weight; `here` is the one that the page is about."""

    name: str
    share: float
    here: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    reach: float
    margin: float

    @property
    def edges(self) -> tuple[float, float]:
        """The heights of the margin's two lines."""
        return self.y(100 * self.margin), self.y(-100 * self.margin)

    @property
    def zero(self) -> float:
        return (TOP + BOTTOM) / 2

    def y(self, percent: float) -> float:
        inside = max(-self.reach, min(self.reach, percent))
        return self.zero - inside / self.reach * (BOTTOM - TOP) / 2


def lead_by_weight(lead: Lead, about: Pair, stands: Sequence[StandsAt], weight: str) -> Picture:
    """The figure. `weight` is what the weight is called ("games")."""
    ends = [*lead.percent, *(lead.low or ()), *(lead.high or ())]
    plot = _Plot(reach=ROOM * max(*map(abs, ends), 100 * about.margin), margin=about.margin)
    turn = turning(lead)
    body = [
        *_ground(plot, about), *_lines(lead, plot, about),
        *_turn(lead, turn, plot, (weight, _labels(lead, stands, plot))),
        *_audiences(lead, stands, plot, about), *_axis(stands, weight), HERE,
    ]  # fmt: skip
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    title = f"Index of {a} over {b} against the share of {weight}"
    seen = seen_words(lead, turn, about, weight)
    scale = f' data-reach="{plot.reach:.6g}" data-middle="{plot.zero:g}" data-half="{(BOTTOM - TOP) / 2:g}"'
    svg = figure("".join(body), HIGH, title=title, seen=seen, kind="lead-by-weight", data=scale)
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def turning(lead: Lead) -> float | None:
    """The share at which the other side comes to the front; None where none does."""
    pairs = zip(lead.shares, lead.percent, strict=True)
    before = next(pairs)
    for share, percent in pairs:
        if (percent > 0) != (before[1] > 0):
            part = before[1] / (before[1] - percent)
            return before[0] + part * (share - before[0])
        before = (share, percent)
    return None


def doubtful(lead: Lead) -> tuple[float, float] | None:
    """The shares between which the interval holds no difference; None where it never does or is not known."""
    if lead.low is None or lead.high is None:
        return None
    inside = [s for s, lo, hi in zip(lead.shares, lead.low, lead.high, strict=True) if lo <= 0 <= hi]
    return (min(inside), max(inside)) if inside else None


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


def _ground(plot: _Plot, about: Pair) -> Iterator[str]:
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    high, low = plot.edges
    yield box(0, high, 100, low - high)
    yield from (level(high, "post"), level(low, "post"), level(plot.zero, "zero"))
    yield word(f"{a} ahead", 0, high - 7, kind="str")
    yield word(f"{b} ahead", 100, low + 18, kind="str", anchor="end")
    least = margin_words(about.margin).replace("±", "+")
    yield word(f"{least}, the least that matters", 0, high + 17, kind="mut wide-only")
    yield word(least.replace("+", "−"), 100, low - 7, anchor="end")


def _lines(lead: Lead, plot: _Plot, about: Pair) -> Iterator[str]:
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


def _turn(lead: Lead, turn: float | None, plot: _Plot, told: tuple[str, Sequence[Label]]) -> Iterator[str]:
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


def _labels(lead: Lead, stands: Sequence[StandsAt], plot: _Plot) -> tuple[Label, ...]:
    """What is written beside audiences: the one the page is about first, then each that has room."""
    found: list[Label] = []
    for each in sorted(stands, key=lambda s: not s.here):
        percent, low, high = lead.at(each.share)
        top, bottom = plot.y(percent if high is None else high), plot.y(percent if low is None else low)
        x = 100 * each.share
        label = Label(
            x=x, y=bottom + 19 if percent > 0 else top - 10, said=" ".join(_label_words(lead.at(each.share))),
            anchor=_anchor(x, turning(lead)), small=not each.here,
        )  # fmt: skip
        if not any(label.touches(other) for other in found):
            found.append(label)
    return tuple(found)


def _anchor(x: float, turn: float | None) -> str:
    """Inwards near an end, away from the line of the turn near that, else about the middle."""
    if x < EDGE or x > 100 - EDGE:
        return "start" if x < EDGE else "end"
    if turn is None or abs(x - 100 * turn) > EDGE:
        return "middle"
    return "end" if x < 100 * turn else "start"


def _audiences(lead: Lead, stands: Sequence[StandsAt], plot: _Plot, about: Pair) -> Iterator[str]:
    labels = {(label.x, label.y): label for label in _labels(lead, stands, plot)}
    for each in sorted(stands, key=lambda s: not s.here):
        percent, low, high = lead.at(each.share)
        slot, x = about.names.slot(about.a if percent > 0 else about.b), 100 * each.share
        top, bottom = plot.y(percent if high is None else high), plot.y(percent if low is None else low)
        yield upright(x, top, bottom, f"axis through b{slot.number}")
        mark = f'<path class="dot b{slot.number}" d="{slot.mark}"/><title>{escape(each.name)}</title>'
        yield at(x, plot.y(percent), mark)
        label = labels.pop((x, bottom + 19 if percent > 0 else top - 10), None)
        if label is not None:
            yield _written(label, *_label_words((percent, low, high)))


def _label_words(span: tuple[float, float | None, float | None]) -> tuple[str, str]:
    """The lead of an audience, and its interval."""
    percent, low, high = span
    places = 1 if low is None or high is None else decimals_for((high - low) / 2)
    ends = "" if low is None or high is None else f"{number(low, places)} to {number(high, places)}"
    return with_unit(number(percent, places, signed=True), "%"), ends


def _written(label: Label, said: str, ends: str) -> str:
    kind = " wide-only" if label.small else ""
    spans = f'<tspan class="str">{said}</tspan><tspan class="mut" dx="6">{ends}</tspan>'
    place = f'x="{label.x:.2f}%" y="{label.y:.1f}" text-anchor="{label.anchor}"'
    return f'<text class="halo on-band{kind}" {place}>{spans}</text>'


def _axis(stands: Sequence[StandsAt], weight: str) -> Iterator[str]:
    yield level(AXIS - 6)
    ticks = {0.0: f"no {weight}", 0.5: with_unit("50", "%"), 1.0: f"all {weight}"}
    for each in stands:
        if all(abs(each.share - tick) > NEAR for tick in ticks):
            ticks[each.share] = with_unit(number(100 * each.share), "%")
    for share, said in ticks.items():
        anchor = "start" if share == 0 else "end" if share == 1 else "middle"
        near = min(share, 1 - share) < CROWDED or any(0 < abs(share - other) < CROWDED / 2 for other in ticks)
        kind = "mut wide-only" if near and share not in (0.0, 0.5, 1.0) else "mut"
        yield upright(100 * share, AXIS - 6, AXIS)
        yield word(said, 100 * share, AXIS + 17, kind=kind, anchor=anchor)
