"""How the lead of a pair moves as an audience gives one of its weights more or less."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.desk.verdict.judged import ForAudience
from evenhand.findings.finding import Outcome
from evenhand.findings.outcomes import from_log
from evenhand.publish.figures.lead_plot import Lead, StandsAt
from evenhand.publish.numbers import with_unit
from evenhand.publish.spans import percent
from evenhand.publish.verdict_words import front_span
from evenhand.verdicts.case import Case
from evenhand.verdicts.named_weights import NamedWeight, named_weights
from evenhand.verdicts.reading import MOST_MISSING, LaidPair, Readings, lay_pairs, read
from evenhand.verdicts.verdict import OUTCOMES, Verdict
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
    """The curve of the first weight that can move, as far as there are numbers for what is weighed.

    None where there is one weight only, or no number that may speak for this audience.
    """
    laid = next((p for p in lay_pairs(here.case) if (p.grounds.a, p.grounds.b) == pair), None)
    weight = next(named_weights(here.case), None)
    if laid is None or weight is None:
        return None
    shares = np.linspace(0.0, 1.0, STEPS)
    shares = shares[_known_at(weight, shares, laid)]
    if len(shares) < 2 or not _is_known(here, pair):
        return None
    found = _readings(here.case, weight, shares, pair)
    half = found.summed.half_shown
    spread = bool(np.isfinite(half).all())
    lead = Lead(
        shares=tuple(shares.tolist()),
        percent=_percents(found.summed.d),
        low=_percents(found.summed.d - half) if spread else None,
        high=_percents(found.summed.d + half) if spread else None,
        outcomes=tuple(OUTCOMES.get(int(code), Outcome.UNSETTLED) for code in found.outcome),
    )
    return Curve(
        weight=weight.name, lead=lead, stands=_stands(weight, here, every, pair),
        allowed=bool((found.summed.allowance > 0).any()),
    )  # fmt: skip


def _known_at(weight: NamedWeight, shares: np.ndarray, pair: LaidPair) -> np.ndarray:
    """Under which shares the pair has a number for so much of the weight that the rest may be left open."""
    laid = weight.at(shares, pair)
    return np.asarray((laid.weights.sum(axis=1) > 0) & (laid.missing <= MOST_MISSING))


def _is_known(here: ForAudience, pair: tuple[str, str]) -> bool:
    """Whether the audience has itself a place on the curve."""
    verdict = here.verdict(*pair)
    return verdict is not None and not verdict.is_blind


def _readings(case: Case, weight: NamedWeight, shares: np.ndarray, pair: tuple[str, str]) -> Readings:
    """What is read off the pair under each share as a verdict reads it, with price and other pairs."""
    laid = [weight.at(shares, each) for each in lay_pairs(case)]
    usable = [each for each in laid if (each.weights.sum(axis=1) > 0).all()]
    found = read(
        usable, margin=math.log1p(case.study.margin), prices=case.prices,
        fixed_minor=case.audience.fixed_minor,
    )  # fmt: skip
    at = [(each.grounds.a, each.grounds.b) for each in usable]
    return found[at.index(pair)]


def _percents(logs: np.ndarray) -> tuple[float, ...]:
    return tuple(percent(from_log(float(d))) for d in logs)


def _stands(
    weight: NamedWeight, here: ForAudience, every: Sequence[ForAudience], pair: tuple[str, str]
) -> tuple[StandsAt, ...]:
    """Audiences on the curve beside the one that is looked at, each with the number of its own verdict.

    They weigh the very same things, and all but this weight in the same proportions.
    """
    wanted, rest = _weighed(here.case), _rest(here.case, weight.name)
    alike = (
        each
        for each in every
        if each.trouble is None
        and _is_known(each, pair)
        and _weighed(each.case) == wanted
        and (not (own := _rest(each.case, weight.name)) or not rest or np.allclose(own, rest, atol=1e-9))
    )
    return tuple(_at(each, weight, each.verdict(*pair), here=each is here) for each in alike)


def _at(each: ForAudience, weight: NamedWeight, verdict: Verdict | None, *, here: bool) -> StandsAt:
    said = "" if verdict is None else with_unit(front_span(verdict).digits(), "%")
    return StandsAt(
        name=each.audience.name, share=_share(each.case, weight.name), here=here, said=said,
        outcome=None if verdict is None else verdict.outcome,
    )  # fmt: skip


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
