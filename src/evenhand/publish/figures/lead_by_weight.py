"""How the lead of a pair moves as one weight goes from nothing to all, with audiences where they stand on it.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone. The line and the
fan about it wear the colour of the setup in front; the band between its posts is level. Words are placed for
a narrow and for a broad figure, and a page shows those that its width has room for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from evenhand.findings.finding import Outcome
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_audiences import apart, audiences, front_words
from evenhand.publish.figures.lead_labels import NARROW, TYPE, WIDE, Label
from evenhand.publish.figures.lead_plot import BOTTOM, LEADS, TOP, Lead, Plot, StandsAt, turning
from evenhand.publish.figures.lead_words import Words, place_words, stem_ends
from evenhand.publish.figures.percent_svg import box, figure, level, upright, word
from evenhand.publish.figures.thinning import corners
from evenhand.publish.numbers import capital, tenths
from evenhand.publish.picture import Picture

HIGH, AXIS = 318, 288.0  # px: of all, and the axis
WHOLE = 0.97  # of the width: at an end nothing may be left to weigh
SHOWN = {"slim": NARROW, "broad": WIDE}  # px from which the words of a class are placed
# Where a slider puts what it asks about; hidden until it is moved.
HERE = (
    '<svg id="lead-here" visibility="hidden" x="0" y="0" width="1" height="1" overflow="visible">'
    '<line class="axis here" x1="0" x2="0"/><circle class="dot hol here" r="6"/></svg>'
)


def lead_by_weight(lead: Lead, about: Pair, stands: Sequence[StandsAt], weight: str) -> Picture:
    """The figure. `weight` is what the weight is called ("games")."""
    plot, placed = Plot.of(lead, about.margin), apart(stands, lead)
    words = {kind: place_words(lead, placed, about, weight, wide=wide) for kind, wide in SHOWN.items()}
    body = [
        *_ground(plot), *_lines(lead, plot, about),
        *(piece for kind, each in words.items() for piece in _turn(each, plot, kind)),
        *audiences(lead, placed, plot, about),
        *(piece for kind, each in words.items() for piece in _written(each, kind)),
        *_axis(placed, weight), HERE,
    ]  # fmt: skip
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    title = f"Index of {a} and {b} against the share of {weight}"
    seen = seen_words(lead, turning(lead), about, weight)
    scale = f' data-zero="{plot.zero:.1f}" data-unit="{plot.unit:.6g}" data-ends="{TOP:g} {BOTTOM:g}"'
    svg = figure("".join(body), HIGH, title=title, seen=seen, kind="lead-by-weight", data=scale)
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def heading(lead: Lead, about: Pair, weight: str) -> str:
    """What the figure shows, as a sentence without a stop; a lead is named only where one is called."""
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    called = {outcome for outcome in lead.outcomes if outcome in LEADS}
    whole = lead.shares[-1] - lead.shares[0] >= WHOLE
    whatever = f"whatever the share of {weight}" if whole else f"as far as the tests beside {weight} were run"
    if lead.outcomes and not called:
        level = set(lead.outcomes) == {Outcome.LEVEL}
        return f"{a} and {b} are level, {whatever}" if level else f"Neither is ahead, {whatever}"
    if turning(lead) is None:
        first = a if lead.percent[-1] + lead.percent[0] > 0 else b
        ahead = len(called) == len(set(lead.outcomes)) == 1
        return f"{first} stays {'ahead' if ahead else 'in front'}, {whatever}"
    first, then = (b, a) if lead.percent[-1] > 0 else (a, b)
    if len(called) == 1:
        one = a if Outcome.AHEAD in called else b
        other = then if one == first else first
        return f"{one} is ahead only {_reach(lead)} {weight}, {other} nowhere"
    return f"The lead tips from {first} to {then} as more of the weight goes to {weight}"


def _reach(lead: Lead) -> str:
    """From or up to which share somebody is called ahead: to the next of the shares that were tried."""
    own = [share for share, outcome in zip(lead.shares, lead.outcomes, strict=True) if outcome in LEADS]
    if own[-1] == lead.shares[-1]:
        return f"from about {tenths(own[0])}"
    return f"up to about {tenths(own[-1])}"


def seen_words(lead: Lead, turn: float | None, about: Pair, weight: str) -> str:
    """What is seen, in words."""
    first, last = (_in_front(percent, about) for percent in (lead.percent[0], lead.percent[-1]))
    turns = "" if turn is None else f"; it turns at {tenths(turn)}"
    ends = [(first, lead.shares[0]), (last, lead.shares[-1])]
    told = ", ".join(f"{_at(share, weight)} {said}" for said, share in ends)
    return f"{capital(told)}{turns}."


def _at(share: float, weight: str) -> str:
    ends = {0.0: f"with no {weight}", 1.0: "with nothing else"}
    return ends.get(share, f"with {tenths(share)} {weight}")


def _in_front(percent: float, about: Pair) -> str:
    name = about.names.setup(about.a if percent > 0 else about.b)
    return f"{name} is in front by {front_words(percent)}"


def _ground(plot: Plot) -> Iterator[str]:
    high, low = plot.edges
    yield box(0, high, 100, low - high)
    yield from (level(high, "post"), level(low, "post"), level(plot.zero, "zero"))


def _lines(lead: Lead, plot: Plot, about: Pair) -> Iterator[str]:
    """Line and fan in pieces, each in the colour of the setup in front; grey if that one is ahead nowhere."""
    view = f'viewBox="0 0 100 {HIGH}" preserveAspectRatio="none" overflow="visible"'
    yield f'<svg width="100%" height="{HIGH}" {view}>'
    pieces = [(_wears(percents, lead, about), piece) for piece, percents in _pieces(lead)]
    for kind, piece in pieces:
        if lead.low is not None and lead.high is not None:
            top = _points(lead, lead.high, piece, plot)
            under = reversed(_points(lead, lead.low, piece, plot))
            yield f'<path class="fan {kind}" d="M{" ".join([*top, *under])}Z"/>'
    for kind, piece in pieces:
        d = " ".join(_points(lead, lead.percent, piece, plot))
        yield f'<path class="ln {kind}" vector-effect="non-scaling-stroke" d="M{d}"/>'
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


def _wears(percents: Sequence[float], lead: Lead, about: Pair) -> str:
    a_first = sum(percents) > 0
    if lead.outcomes and (Outcome.AHEAD if a_first else Outcome.BEHIND) not in lead.outcomes:
        return "plain"
    return f"b{about.names.slot(about.a if a_first else about.b).number}"


def _points(lead: Lead, values: Sequence[float], piece: Sequence[int], plot: Plot) -> list[str]:
    """The places that a piece of a line goes through; what lies straight between two of them needs none."""
    line = [(100 * lead.shares[i], plot.y(values[i])) for i in piece]
    return [f"{x:.1f} {y:.1f}" for x, y in corners(line)]


def _turn(words: Words, plot: Plot, kind: str) -> Iterator[str]:
    """The line from the words of the turn to where the other side comes to the front."""
    if words.turn is not None:
        yield upright(words.turn.x, *stem_ends(words.turn, plot), f"axis turn {kind}")


def _written(words: Words, kind: str) -> Iterator[str]:
    for label in words.every():
        spans = f'<tspan class="str">{escape(label.said)}</tspan>' if label.said else ""
        if label.more:
            beside = ' dx="5"' if label.said else ""
            spans += f'<tspan class="mut"{beside}>{escape(label.more)}</tspan>'
        dx = f' dx="{label.dx:g}"' if label.dx else ""
        place = f'x="{label.x:.2f}%"{dx} y="{label.y:.1f}" text-anchor="{label.anchor}"'
        yield f'<text class="{kind}" {place}>{spans}</text>'


def _axis(stands: Sequence[StandsAt], weight: str) -> Iterator[str]:
    yield level(AXIS - 6)
    always = {0.0: f"no {weight}", 1.0: f"all {weight}"}
    asked = {each.share: each for each in stands if each.share not in always}
    for share in (*always, *asked):
        yield upright(100 * share, AXIS - 6, AXIS)
    for kind, wide in SHOWN.items():
        told = [_tick(share, said) for share, said in always.items()]
        for share in (*asked, 0.5):
            label = _tick(share, tenths(share))
            if all(label.box(wide).gaps(other.box(wide))[0] > TYPE for other in told):
                told.append(label)
        for label in told:
            yield word(label.more, label.x, label.y, kind=f"mut {kind}", anchor=label.anchor)


def _tick(share: float, said: str) -> Label:
    anchor = "start" if share == 0 else "end" if share == 1 else "middle"
    return Label(x=100 * share, y=AXIS + 17, said="", more=said, anchor=anchor)
