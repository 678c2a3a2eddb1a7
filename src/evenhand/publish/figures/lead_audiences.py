"""Audiences on the curve of a lead: their marks, told by what is called for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from html import escape

from evenhand.findings.finding import Outcome
from evenhand.publish.direction import isolated
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_plot import LEADS, Lead, Plot, StandsAt
from evenhand.publish.figures.percent_svg import at, upright
from evenhand.publish.numbers import decimals_for, number, with_unit
from evenhand.publish.spans import in_front

FEW = 3  # audiences that all show their interval; of more, only the one that the page is about
SAME = 0.0005  # of the weight: audiences nearer than that share a mark


def apart(stands: Sequence[StandsAt], lead: Lead) -> tuple[StandsAt, ...]:
    """One audience with its number for each place on the curve, the one that the page is about first."""
    found: list[StandsAt] = []
    for each in sorted(stands, key=lambda s: not s.here):
        if all(abs(each.share - other.share) > SAME for other in found):
            found.append(each if each.said else replace(each, said=front_words(*lead.at(each.share))))
    return tuple(found)


def front_words(percent: float, low: float | None = None, high: float | None = None) -> str:
    """By how much the one in front is ahead of the other, as far as its interval allows digits."""
    places = 1 if low is None or high is None else decimals_for((high - low) / 2)
    return with_unit(number(in_front(percent), places), "%")


def audiences(lead: Lead, stands: Sequence[StandsAt], plot: Plot, about: Pair) -> Iterator[str]:
    """Each audience's mark on the curve, the one that the page is about on top and with its interval."""
    for each in sorted(stands, key=lambda s: s.here):
        percent, low, high = lead.at(each.share)
        slot, x = about.names.slot(about.a if percent > 0 else about.b), 100 * each.share
        top, bottom = plot.y(percent if high is None else high), plot.y(percent if low is None else low)
        if each.here or len(stands) <= FEW:
            called = each.outcome is None or each.outcome in LEADS
            yield upright(x, top, bottom, f"axis through {f'b{slot.number}' if called else 'plain'}")
        title = f"<title>{escape(isolated(each.name))}: {escape(each.said)}</title>"
        small = "" if each.here or len(stands) <= FEW else ' transform="scale(.8)"'
        yield at(x, plot.y(percent), f"{_mark(each.outcome, slot.number, slot.mark, small)}{title}")


def _mark(outcome: Outcome | None, slot: int, form: str, small: str) -> str:
    """In a build's colour where that one is ahead, else hollow: ink where level, grey where unsettled."""
    if outcome is None or outcome in LEADS:
        return f'<path class="dot b{slot}" d="{form}"{small}/>'
    kind = "" if outcome is Outcome.LEVEL else " uns"
    return f'<circle class="dot hol{kind}" r="6"{small}/>'
