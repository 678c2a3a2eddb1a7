"""What parts can be chosen from, what a choice must keep to, and a choice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

Misfits: TypeAlias = frozenset[frozenset[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A part that may be chosen: its price in minor units, its score, and what it uses of what.

    Scores add up: logs of how good a part is at its role, times the weight of the role. A part that brings of
    something (a supply its watts) uses less than nothing of it.
    """

    key: str
    kind: str
    minor: int
    score: float = 0.0
    uses: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """What can be chosen from: one part of each of the `kinds`.

    `misfits` are pairs that do not go together, by rule; `unsure` those of which nobody knows, which are not
    chosen either.
    """

    candidates: tuple[Candidate, ...]
    kinds: tuple[str, ...]
    misfits: Mapping[str, Misfits] = field(default_factory=dict)
    unsure: Misfits = frozenset()

    @cached_property
    def barred(self) -> Misfits:
        """Every pair that is not chosen together."""
        return self.unsure.union(*self.misfits.values())

    @cached_property
    def of_kind(self) -> Mapping[str, tuple[int, ...]]:
        """The places of the candidates of each kind."""
        return {
            kind: tuple(i for i, each in enumerate(self.candidates) if each.kind == kind)
            for kind in self.kinds
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """One choice: its parts in the order of the kinds, its price and score.

    `gap` is how much better, as a share of the score, another one might still be: 0 where none is.
    """

    parts: tuple[str, ...]
    minor: int
    score: float
    gap: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What a choice must keep to: a budget in minor units, and `limits` on what is used together.

    `least_score` is one that is known to be had, so that nothing worse need be looked at.
    """

    budget_minor: int
    least_score: float | None = None
    limits: Mapping[str, float] = field(default_factory=dict)
    time_limit_s: float = 5.0
