"""What is said of a study for an audience, and for all of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

from evenhand.errors import BadRecord
from evenhand.money.paid import Paid
from evenhand.publish.names import Names
from evenhand.records.audiences import Audience
from evenhand.verdicts.among import Among, among
from evenhand.verdicts.case import Case
from evenhand.verdicts.front_pair import FrontPair, front_pair
from evenhand.verdicts.moves import Flip, Lever
from evenhand.verdicts.verdict import Verdict
from evenhand.verdicts.wobble import Wobble

PairKeys: TypeAlias = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """What turns verdicts: the smallest single changes, smallest first, and what was moved, by pair."""

    flips: tuple[Flip, ...] = ()
    tried: Mapping[PairKeys, frozenset[Lever]] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)  # no slots: what is asked for later is kept beside the fields
class ForAudience:
    """One audience with a verdict on each pair; `trouble` says why there is none.

    `stand_in` marks the study's own index, shown where no audience is on record. What takes longer than the
    verdicts is worked out once somebody asks for it.
    """

    audience: Audience
    case: Case
    verdicts: tuple[Verdict, ...] = ()
    trouble: BadRecord | None = None
    stand_in: bool = False
    turning: Callable[[], Turning] = field(default=Turning, repr=False, compare=False)
    wobbling: Callable[[], Mapping[PairKeys, Wobble | None]] = field(default=dict, repr=False, compare=False)

    @property
    def flips(self) -> tuple[Flip, ...]:
        """The smallest single changes that turn something, smallest first."""
        return self._turning.flips

    @property
    def tried(self) -> Mapping[PairKeys, frozenset[Lever]]:
        """The things that were moved, by pair."""
        return self._turning.tried

    @cached_property
    def _turning(self) -> Turning:
        return self.turning()

    @cached_property
    def wobbles(self) -> Mapping[PairKeys, Wobble | None]:
        """How often a verdict holds where the weights are a little other, by pair."""
        return self.wobbling()

    def verdict(self, a: str, b: str) -> Verdict | None:
        """The verdict on a pair as it is laid out, if there is one."""
        return next((v for v in self.verdicts if (v.a, v.b) == (a, b)), None)

    @property
    def among(self) -> Among | None:
        """Who is ahead of all, and by value, among three setups and more."""
        return among(self.verdicts, [(pair.a, pair.b) for pair in self.case.pairs])

    @property
    def front(self) -> FrontPair | None:
        """Which pair matters most, among three setups and more."""
        return front_pair(self.verdicts, fixed_minor=self.audience.fixed_minor)

    @property
    def front_first(self) -> tuple[Verdict, ...]:
        """The verdicts, that on the pair that matters most before all others."""
        first = None if (front := self.front) is None else front.pair
        return tuple(sorted(self.verdicts, key=lambda each: (each.a, each.b) != first))


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """Every audience of a study, the prices that were held against each other, and what all is called."""

    audiences: tuple[ForAudience, ...]
    paid: Paid
    names: Names

    @property
    def stand_in(self) -> bool:
        """Whether the study names no audience, so that its own index stands in."""
        return any(each.stand_in for each in self.audiences)
