"""How good parts are for somebody: what is said of them by role, and what was measured of whole machines.

The score of a part is a log, Σ w·ln p over the roles that somebody weighs, p being a multiple of any one
reference; the scores of a machine's parts add up to the log of its index. What they leave over of a machine
that was measured is booked to its board, the part that all else is plugged into.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

BOOKED_TO = "board"


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Booked:
    """Scores with what was measured in them; `apart` is how far machines with one board still disagree."""

    scores: Mapping[str, float]
    apart: float = 0.0


def booked(
    scores: Mapping[str, float],
    machines: Mapping[str, Sequence[str]],
    measured: Mapping[str, float],
    *,
    kinds: Mapping[str, str],
) -> Booked:
    """The scores, with what each measured machine has beyond them on its board.

    `machines` are the parts of each, `measured` the logs of their indexes. Machines that share a board share
    the mean of it. Machines without a board, or with a part that has no score, change nothing.
    """
    over: dict[str, list[float]] = {}
    for machine, index in measured.items():
        parts = machines[machine]
        boards = [part for part in parts if kinds[part] == BOOKED_TO]
        if len(boards) == 1 and all(part in scores for part in parts):
            over.setdefault(boards[0], []).append(index - sum(scores[part] for part in parts))
    found = {**scores, **{board: scores[board] + fmean(left) for board, left in over.items()}}
    apart = max((max(left) - min(left) for left in over.values()), default=0.0)
    return Booked(scores=found, apart=apart)
