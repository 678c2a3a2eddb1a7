"""What shows by itself that a limiter holds a rate: means that stand still, and frames that pile up."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from evenhand.triage.held import Held, flats, quicker, stand_apart
from evenhand.triage.limits.rates import CapLimits, nearest_rate
from evenhand.triage.plateaus import Shape
from evenhand.triage.quiet import chunks_of
from evenhand.triage.view import CellView
from evenhand.triage.wording import share


def flat(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 1: half-second means within 0.12 % of one rate, steadier than independent frames would be."""
    stands = own.flat
    if (
        stands is None
        or stands.near < limits.least_share
        or stands.near_blocks < limits.least_blocks
        or stands.quicker > limits.quicker_share
        or stands.near_mad > limits.plateau_mad
    ):
        return None
    still = own.run.noise <= limits.still_frames
    if not still and (
        stands.compensated > limits.compensated or stand_apart(stands.centre, flats(siblings, limits), limits)
    ):
        return None
    means = (
        f"{share(stands.near, 0)} of its half-second means lie within {share(limits.near, 2)} of that rate"
    )
    shown = f"{means}, {quicker(stands.quicker, limits.quicker_by)}"
    return Held(line=_line_of(own, limits), shown=shown, share=stands.near, route=1)


def one_sided(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """Route 1, one-sided: the scene falls below the line, and never goes past it.

    It must fall itself, in means and in medians: half seconds that are slow for their hitches alone are those
    of any still scene, and of frames that alternate the median half second is slow for an odd frame.
    """
    limits, stands = view.limits.cap, own.flat
    if stands is None:
        return None
    listed = nearest_rate(1000 / math.exp(stands.centre), limits.listed_within) is not None
    if (
        stands.at_side < (limits.side_share_listed if listed else limits.side_share)
        or stands.side_quicker > limits.side_quicker
        or stands.side_slower < limits.side_slower
        or _falls_below(own, stands.centre, limits.side_width, view) < limits.side_slower
        or stands.near_blocks < limits.least_blocks
        or not _witnessed(own, siblings, view, listed=listed)
        or stand_apart(stands.centre, flats(siblings, limits), limits)
    ):
        return None
    means = f"{share(stands.at_side, 0)} of its half-second means lie within {share(limits.side_width)} of it"
    quick = quicker(stands.side_quicker, limits.side_width)
    shown = f"{means}, {share(stands.side_slower, 0)} are slower, {quick}"
    return Held(line=_line_of(own, limits), shown=shown, share=stands.at_side, route=1)


def _still_scene(centre: float, siblings: Sequence[Shape], limits: CapLimits, *, listed: bool) -> bool:
    """Whether siblings pile up too, at rates of their own; far off this speaks against unusual rates only."""
    piles = [s.pile.centre for s in siblings if s.pile.share >= limits.pile_share / 2]
    if listed:
        return stand_apart(centre, piles, limits)
    return any(abs(pile - centre) > limits.same_span_most for pile in piles)


def _witnessed(own: Shape, siblings: Sequence[Shape], view: CellView, *, listed: bool) -> bool:
    """Whether siblings can tell a limiter from a still scene; else the run must show more than that has.

    One sibling tells no more of what is usual than the run itself.
    """
    if len(siblings) > 1:
        return True
    if not (siblings or listed):
        return False
    limits = view.limits.cap
    moves = _falls_below(own, own.pile.centre, 2 * limits.past_by, view) >= limits.side_slower
    return moves or own.pile.edge <= limits.alone_edge


def _falls_below(own: Shape, line: float, by: float, view: CellView) -> float:
    """Share of half seconds whose median frame is slower than this line by so much."""
    middles = chunks_of(own.run, view).middles
    return float(np.mean(middles > line + by)) if middles.size else 0.0


def _cut(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> bool:
    """Whether frames end at the line as if cut off, and no sibling's do, or all of theirs vary more."""
    if not siblings or own.pile.edge > limits.cut_edge:
        return False
    calmer = own.run.noise <= limits.cut_calmer * min(s.run.noise for s in siblings)
    return calmer or min(s.pile.edge for s in siblings) >= limits.uncut_edge


def piled(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """Route 2: frames pile up at one frame time and hardly any is quicker."""
    limits, pile = view.limits.cap, own.pile
    if (
        pile.share < limits.pile_share
        or pile.quicker >= limits.pile_quicker_share
        or pile.contrast < limits.pile_contrast
    ):
        return None
    listed = nearest_rate(1000 / math.exp(pile.centre), limits.listed_within) is not None
    sure = own.run.noise <= limits.still_frames or _cut(own, siblings, limits)
    if not sure and not _witnessed(own, siblings, view, listed=listed):
        return None
    if not sure and _still_scene(pile.centre, siblings, limits, listed=listed):
        return None
    width = share(limits.pile_window / 2, 2)
    shown = f"{share(pile.share, 0)} of its frames lie within {width} of one frame time"
    quick = quicker(pile.quicker, limits.pile_quicker_by)
    return Held(line=pile.centre, shown=f"{shown}, {quick}", share=pile.share, route=2)


def _line_of(own: Shape, limits: CapLimits) -> float:
    """The line of a flat run: where its frames pile up, since means also hold the frames that missed it."""
    assert own.flat is not None
    near = abs(own.pile.centre - own.flat.centre) < limits.line_near
    piled = own.pile.share >= limits.line_by_frames and near
    return own.pile.centre if piled else own.flat.centre
