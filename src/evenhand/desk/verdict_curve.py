"""How the lead of a pair moves as an audience gives one of its weights more or less."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.desk.judged_for import ForAudience
from evenhand.findings.outcomes import from_log
from evenhand.publish.figures.lead_plot import Lead, StandsAt
from evenhand.publish.spans import percent
from evenhand.verdicts.case import Case
from evenhand.verdicts.named_weights import NamedWeight, named_weights
from evenhand.verdicts.reading import lay_pairs
from evenhand.verdicts.standing import sum_pair
from evenhand.verdicts.weights import named_parts

STEPS = 101


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """The lead of one pair by the share of one weight, and the audiences that weigh the same things.

    `allowed` says that the record leaves room for a shared error, which the lead's interval does not hold.
    """

    weight: str
    lead: Lead
    stands: tuple[StandsAt, ...]
    allowed: bool = False


def curve_of(here: ForAudience, every: Sequence[ForAudience], pair: tuple[str, str]) -> Curve | None:
    """The curve of the first weight that can move; None where there is one weight only, or no number."""
    laid = next((p for p in lay_pairs(here.case) if (p.grounds.a, p.grounds.b) == pair), None)
    weight = next(named_weights(here.case), None)
    if laid is None or weight is None:
        return None
    shares = np.linspace(0.0, 1.0, STEPS)
    moved = weight.at(shares, laid)
    known = moved.weights.sum(axis=1) > 0
    summed = sum_pair(moved.grounds, moved.weights[known])
    half = summed.half_shown
    spread = bool(np.isfinite(half).all())
    lead = Lead(
        shares=tuple(shares[known].tolist()),
        percent=_percents(summed.d),
        low=_percents(summed.d - half) if spread else None,
        high=_percents(summed.d + half) if spread else None,
    )
    return Curve(
        weight=weight.name, lead=lead, stands=_stands(weight, here, every),
        allowed=bool((summed.allowance > 0).any()),
    )  # fmt: skip


def _percents(logs: np.ndarray) -> tuple[float, ...]:
    return tuple(percent(from_log(float(d))) for d in logs)


def _stands(weight: NamedWeight, here: ForAudience, every: Sequence[ForAudience]) -> tuple[StandsAt, ...]:
    """Audiences on the curve beside the one that is looked at.

    They weigh the very same things, and all but this weight in the same proportions.
    """
    wanted, rest = _weighed(here.case), _rest(here.case, weight.name)
    return tuple(
        StandsAt(name=each.audience.name, share=_share(each.case, weight.name), here=each is here)
        for each in every
        if each.trouble is None
        and _weighed(each.case) == wanted
        and (not (own := _rest(each.case, weight.name)) or not rest or np.allclose(own, rest, atol=1e-9))
    )


def _weighed(case: Case) -> tuple[object, ...]:
    """What an audience weighs: names of groups and tests, and properties in their shares."""
    audience = case.audience
    return frozenset(audience.groups), frozenset(audience.tests), tuple(sorted(audience.properties.items()))


def _share(case: Case, name: str) -> float:
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    return next((part.share for part in parts if part.name == name), 0.0)


def _rest(case: Case, name: str) -> list[float]:
    """The other weights by name, as shares of what they have together; none where they have nothing."""
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    others = [part.share for part in sorted(parts, key=lambda part: part.name) if part.name != name]
    return [share / sum(others) for share in others] if sum(others) > 0 else []
