"""Which pair of several matters most: who is in front, and the rival nearest to it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from evenhand.findings.finding import Index, Outcome
from evenhand.verdicts.among import FEWEST, OUTCOMES, VALUES, Side

if TYPE_CHECKING:
    from evenhand.verdicts.verdict import Verdict  # a name in signatures alone: it loads much


class By(StrEnum):
    """By what somebody is in front."""

    VALUE = "value"
    INDEX = "index"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontPair:
    """A `pair` as it stands on record, who of it is in `front`, `by` what, and its nearest `rival`.

    `clear`: the one is called before every other; else there are others whom nobody is called before.
    """

    pair: tuple[str, str]
    front: str
    rival: str
    by: By
    clear: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """How a stands to b by one measure: by how much (a log), and what was called; None for nothing."""

    gap: float
    called: Side | None


Stands = Mapping[tuple[str, str], Stand]


def front_pair(found: Sequence[Verdict], *, fixed_minor: int = 0) -> FrontPair | None:
    """The pair of one audience that matters; None for fewer than three machines with a verdict.

    By value, where that of every pair is known, else by the index. Where somebody is clearly the better value
    than all others, while nobody is clearly ahead by the index, the open question is that of the index.
    `fixed_minor` is what the audience must buy with any machine.
    """
    seen = [each for each in found if not each.is_blind]
    by_index = _front({(v.a, v.b): _by_index(v.ratio, v.outcome) for v in seen}, By.INDEX)
    worth = {(v.a, v.b): stand for v in seen if (stand := _by_value(v, fixed_minor)) is not None}
    by_value = _front(worth, By.VALUE) if len(worth) == len(seen) else None
    if by_index is None or by_value is None:
        return by_index
    return by_index if by_value.clear and not by_index.clear else by_value


def front_of_indexes(indexes: Sequence[Index]) -> FrontPair | None:
    """The same by the study's own index over all tests."""
    return _front({(i.a, i.b): _by_index(i.ratio, i.outcome) for i in indexes if not i.group}, By.INDEX)


def _by_index(ratio: float, outcome: Outcome) -> Stand:
    return Stand(gap=math.log(ratio), called=OUTCOMES.get(outcome))


def _by_value(verdict: Verdict, fixed_minor: int) -> Stand | None:
    """By how much more a is worth than it costs; None where its worth is not known."""
    if verdict.break_even is None or verdict.prices is None or verdict.value not in VALUES:
        return None
    worth, paid = verdict.break_even.at + fixed_minor, verdict.prices[0] + fixed_minor
    return Stand(gap=math.log(worth / paid), called=None if verdict.value_open else VALUES[verdict.value])


def _front(stands: Stands, by: By) -> FrontPair | None:
    """Of those whom nobody is called before the one that stands best, and which of them comes nearest to it;
    which of all, where there is no other.
    """
    gaps = {a: {} for pair in stands for a in pair}  # type: dict[str, dict[str, float]]
    beaten, wins = set(), set()
    for (a, b), stand in stands.items():
        gaps[a][b], gaps[b][a] = stand.gap, -stand.gap
        if stand.called in (Side.FIRST, Side.SECOND):
            winner, loser = (a, b) if stand.called is Side.FIRST else (b, a)
            beaten.add(loser)
            wins.add((winner, loser))
    if len(gaps) < FEWEST:
        return None
    unbeaten = [one for one in gaps if one not in beaten] or list(gaps)
    front = max(unbeaten, key=lambda one: sum(gaps[one].values()) / len(gaps[one]))
    rivals = [other for other in gaps[front] if other in unbeaten] or list(gaps[front])
    rival = min(rivals, key=lambda other: gaps[front][other])
    pair = (front, rival) if (front, rival) in stands else (rival, front)
    clear = all((front, other) in wins for other in gaps if other != front)
    return FrontPair(pair=pair, front=front, rival=rival, by=by, clear=clear)
