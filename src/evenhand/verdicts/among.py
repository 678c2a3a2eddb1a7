"""Of three setups and more: who is called ahead of all others, whom nobody is ahead of; the same by value."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import combinations
from typing import TYPE_CHECKING, TypeAlias

from evenhand.findings.finding import Outcome
from evenhand.money.break_even import Value

if TYPE_CHECKING:
    from evenhand.verdicts.verdict import Verdict  # a name in signatures alone: it loads much

FEWEST = 3  # of two the verdict on the pair says it all


class Side(Enum):
    """How the first of a pair stands to the second, as it was called."""

    FIRST = 1
    SECOND = -1
    LEVEL = 0


Called: TypeAlias = Mapping[tuple[str, str], Side]


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """Who is in front of `setups` by one measure, from pairs that were called and nothing else.

    `first` is called before every other; `unbeaten` are those whom no other is called before (`first` alone
    where there is one). `level` says that these are called level with one another and before all the rest.
    """

    setups: tuple[str, ...]
    first: str | None
    unbeaten: tuple[str, ...]
    level: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Among:
    """One audience over all setups: who is ahead, and who is the better value where that is known.

    `left_out` have no verdict with any other. `verdicts` are all that it is made from.
    """

    ahead: Front
    value: Front | None
    left_out: tuple[str, ...]
    verdicts: tuple[Verdict, ...]

    @property
    def leads(self) -> tuple[Verdict, ...]:
        """The verdicts by which the first one is ahead of each other."""
        return tuple(v for v in self.verdicts if self.ahead.first in (v.a, v.b))


def among(found: Sequence[Verdict], pairs: Sequence[tuple[str, str]]) -> Among | None:
    """Who stands where among the setups of these pairs; None for fewer than three with a verdict."""
    judged = tuple(dict.fromkeys(setup for v in found for setup in (v.a, v.b)))
    if len(judged) < FEWEST:
        return None
    of_all = dict.fromkeys(setup for pair in pairs for setup in pair)
    valued = [v for v in found if v.value is not Value.UNKNOWN]
    called = [v for v in valued if not v.value_open]
    priced = [setup for setup in judged if any(setup in (v.a, v.b) for v in valued)]
    return Among(
        ahead=_front(judged, {(v.a, v.b): OUTCOMES[v.outcome] for v in found if v.outcome in OUTCOMES}),
        value=_front(priced, {(v.a, v.b): VALUES[v.value] for v in called}) if priced else None,
        left_out=tuple(setup for setup in of_all if setup not in judged), verdicts=tuple(found),
    )  # fmt: skip


OUTCOMES = {Outcome.AHEAD: Side.FIRST, Outcome.BEHIND: Side.SECOND, Outcome.LEVEL: Side.LEVEL}
VALUES = {Value.A: Side.FIRST, Value.B: Side.SECOND, Value.LEVEL: Side.LEVEL}


def _front(setups: Collection[str], called: Called) -> Front:
    """Who is in front of these by what was called."""
    wins = {pair if side is Side.FIRST else pair[::-1] for pair, side in called.items() if side.value}
    unbeaten = tuple(one for one in setups if not any((other, one) in wins for other in setups))
    rest = [one for one in setups if one not in unbeaten]
    clear = all((one, other) in wins for one in unbeaten for other in rest)
    even = {frozenset(pair) for pair, side in called.items() if side is Side.LEVEL}
    return Front(
        setups=tuple(setups), first=unbeaten[0] if len(unbeaten) == 1 and clear else None, unbeaten=unbeaten,
        level=len(unbeaten) > 1 and clear and all({*two} in even for two in combinations(unbeaten, 2)),
    )  # fmt: skip
