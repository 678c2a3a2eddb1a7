"""How good parts are for somebody, by what is said of them: a score each, whose sums say how machines differ.

The score of a part is a log, Σ w·ln p over the roles that somebody weighs, p being a multiple of any one
reference. Of two machines that differ in some parts, the log of the ratio of their indexes is the sum of what
those parts' scores differ by.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Rated:
    """The score of each part that has one, and the parts of which less is said than of others of their kind.

    Of a kind of which nothing is said at all every part scores 0: it plays no role.
    """

    scores: Mapping[str, float]
    unsaid: tuple[str, ...] = ()


def rated(
    said: Mapping[str, Mapping[str, float]], *, kinds: Mapping[str, str], weights: Mapping[str, float]
) -> Rated:
    """Scores from `said`: by part and role how good it is, above 0; `kinds` are those of all parts.

    A part counts as said of where it is for every role with a weight of which any part of its kind is. The
    weights are read as shares of their sum.
    """
    asked = {kind: _roles_of(kind, said, kinds, weights) for kind in set(kinds.values())}
    whole = sum(weights.values())
    scores, unsaid = {}, []
    for part, kind in kinds.items():
        own = said.get(part, {})
        if all(role in own for role in asked[kind]):
            scores[part] = sum(weights[role] / whole * math.log(own[role]) for role in asked[kind])
        else:
            unsaid.append(part)
    return Rated(scores=scores, unsaid=tuple(unsaid))


def _roles_of(
    kind: str,
    said: Mapping[str, Mapping[str, float]],
    kinds: Mapping[str, str],
    weights: Mapping[str, float],
) -> tuple[str, ...]:
    """The weighed roles of which any part of a kind is said something."""
    there = {role for part, own in said.items() if kinds.get(part) == kind for role in own}
    return tuple(role for role, weight in weights.items() if weight > 0 and role in there)
