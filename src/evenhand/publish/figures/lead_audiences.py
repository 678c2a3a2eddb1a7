"""Audiences on the curve of a lead: their marks, and what is written beside them where it has room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from html import escape

from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_labels import Label
from evenhand.publish.figures.lead_plot import Lead, Plot, StandsAt, turning
from evenhand.publish.figures.percent_svg import at, upright
from evenhand.publish.numbers import decimals_for, number, with_unit

EDGE = 12.0  # per cent of the width: a label nearer to an end is not centred


def sides(plot: Plot, about: Pair) -> tuple[Label, Label]:
    """What is written beyond the margin's lines: whose lead is there."""
    a, b = about.names.setup(about.a), about.names.setup(about.b)
    high, low = plot.edges
    return (
        Label(x=0, y=high - 7, said=f"{a} ahead", anchor="start"),
        Label(x=100, y=low + 18, said=f"{b} ahead", anchor="end"),
    )


def labels_of(lead: Lead, stands: Sequence[StandsAt], plot: Plot, about: Pair) -> tuple[Label, ...]:
    """What is written beside audiences: the one the page is about first, then each that has room.

    It stands on the side of zero, or beyond where the words of whose lead it is are in the way there.
    """
    found: list[Label] = []
    for each in sorted(stands, key=lambda s: not s.here):
        percent, low, high = lead.at(each.share)
        top, bottom = plot.y(percent if high is None else high), plot.y(percent if low is None else low)
        x, heights = 100 * each.share, (bottom + 19, top - 10) if percent > 0 else (top - 10, bottom + 19)
        own = Label(
            x=x, y=heights[0], said=" ".join(_label_words(lead.at(each.share))),
            anchor=_anchor(x, turning(lead)), small=not each.here,
        )  # fmt: skip
        crowded = any(own.touches(side) for side in sides(plot, about))
        label = replace(own, y=heights[1]) if crowded else own
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


def audiences(lead: Lead, stands: Sequence[StandsAt], plot: Plot, about: Pair) -> Iterator[str]:
    """Each audience's mark and interval on the curve, and its words."""
    labels = {label.x: label for label in labels_of(lead, stands, plot, about)}
    for each in sorted(stands, key=lambda s: not s.here):
        percent, low, high = lead.at(each.share)
        slot, x = about.names.slot(about.a if percent > 0 else about.b), 100 * each.share
        top, bottom = plot.y(percent if high is None else high), plot.y(percent if low is None else low)
        yield upright(x, top, bottom, f"axis through b{slot.number}")
        mark = f'<path class="dot b{slot.number}" d="{slot.mark}"/><title>{escape(each.name)}</title>'
        yield at(x, plot.y(percent), mark)
        label = labels.pop(x, None)
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
