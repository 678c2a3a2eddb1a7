"""What each machine costs to own for an audience, how far two are apart, and whose money is better spent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.desk.money.basis import MoneyGround
from evenhand.money.owning import Owned, Range, apart, corners, owned
from evenhand.money.value import Stand, stand_of_all


@dataclass(frozen=True, slots=True, kw_only=True)
class Owning:
    """Each priced setup over the years. `counted` says whether electricity is in it.

    `lacking` says what is missing for that: "hours", "tariff", "watts".
    """

    by_setup: Mapping[str, Owned]
    counted: bool
    lacking: tuple[str, ...]


def owning(ground: MoneyGround) -> Owning:
    """What each costs, under the same hours, tariff and resale."""
    found = {
        setup: owned(minor, ground.watts.get(setup), ground.kept)
        for setup in ground.priced
        for minor in (ground.prices[setup],)
    }
    lacking = [name for name in ("hours", "tariff") if getattr(ground.kept, name) is None]
    if not ground.watts:
        lacking.append("watts")
    return Owning(by_setup=found, counted=not lacking, lacking=tuple(lacking))


def difference(ground: MoneyGround, a: str, b: str) -> Range:
    """How much more a costs to own than b."""
    one, other = ((ground.prices[setup], ground.watts.get(setup)) for setup in (a, b))
    return apart(one, other, ground.kept)


def stand_by_owning(ground: MoneyGround, a: str, b: str) -> Stand:
    """Whose money is better spent by what the two cost to own, wherever in the spans the truth lies."""
    edge = ground.edges.get((a, b))
    if edge is None:
        return Stand.UNKNOWN
    costs = (
        tuple(owned(ground.prices[s], ground.watts.get(s), kept).whole.mid for s in (a, b))
        for kept in corners(ground.kept)
    )
    return stand_of_all(
        ((one, other) for one, other in costs), edge, margin=ground.margin, fixed_minor=ground.fixed_minor
    )
