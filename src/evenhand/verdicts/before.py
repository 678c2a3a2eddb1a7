"""A case as it is: what every change is held against."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from evenhand.findings.outcomes import from_log
from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move
from evenhand.verdicts.price_states import Prices, States
from evenhand.verdicts.reading import LaidPair, Readings, Sums, lay_pairs, read, say, sum_up
from evenhand.verdicts.standing import VALUE_LEVEL, VALUE_UNKNOWN, Summed, paid_log, value_codes
from evenhand.verdicts.worths import is_open, worth_of


@dataclass(frozen=True, kw_only=True)  # no slots: what is worked out once is kept beside the fields
class Before:
    """A case, its pairs under its audience's weights, and what is read of each."""

    case: Case
    pairs: tuple[LaidPair, ...]
    readings: tuple[Readings, ...]

    @classmethod
    def of(cls, case: Case) -> Before:
        """A case as it is. Raises BadRecord as `weights.named_parts`."""
        pairs = lay_pairs(case)
        found = read(
            pairs, margin=math.log1p(case.study.margin), prices=case.prices,
            fixed_minor=case.audience.fixed_minor,
        )  # fmt: skip
        return cls(case=case, pairs=pairs, readings=found)

    @property
    def margin(self) -> float:
        """The margin as a log."""
        return math.log1p(self.case.study.margin)

    @property
    def price_weighed(self) -> bool:
        """Whether the audience weighs the price itself, so that order and outcome hang on prices too."""
        return bool(self.case.prices) and any(pair.price.any() for pair in self.pairs)

    def place(self, pair: int) -> tuple[str, str]:
        """The setups of a pair."""
        return self.pairs[pair].grounds.a, self.pairs[pair].grounds.b

    def was(self, pair: int, aspect: Aspect) -> int:
        """The code of what is said of a pair."""
        return self._codes[pair][aspect]

    @cached_property
    def _codes(self) -> tuple[Mapping[Aspect, int], ...]:
        return tuple({aspect: int(then.code(aspect)[0]) for aspect in Aspect} for then in self.readings)

    def aspects(self, pair: int) -> list[Aspect]:
        """What of a pair may turn: value only where it says something."""
        silent = self.was(pair, Aspect.VALUE) == VALUE_UNKNOWN
        return [aspect for aspect in Aspect if aspect is not Aspect.VALUE or not silent]

    def sums(self) -> list[Sums]:
        """Every pair summed up."""
        return [sum_up([pair]) for pair in self.pairs]

    def say(self, sums: Sequence[Sums]) -> tuple[Readings, ...]:
        """What these sums say under the case's margin and prices."""
        return say(
            sums, margin=self.margin, prices=self.case.prices, fixed_minor=self.case.audience.fixed_minor
        )

    def states(
        self, sums: Sequence[Sums], *, margin: Floats | None = None, prices: Prices | None = None
    ) -> States:
        """These sums, of M states each, under the case's margin and prices, or others."""
        margins = np.full(len(sums[0].missing), self.margin) if margin is None else margin
        case = self.case
        return States(
            pairs=sums, margin=margins, prices=case.prices if prices is None else prices,
            fixed_minor=case.audience.fixed_minor,
        )  # fmt: skip

    def flip(
        self,
        pair: int,
        aspect: Aspect,
        moves: tuple[Move, ...],
        *,
        becomes: int,
        d: float,
        share: float = 1.0,
        merit: Summed | None = None,
    ) -> Flip:
        """What these moves turn, `d` being the log ratio then; of value also its `merit` then, one state."""
        a, b = self.place(pair)
        level = aspect is Aspect.VALUE and int(becomes) == VALUE_LEVEL
        return Flip(
            a=a, b=b, aspect=aspect, moves=moves, was=self.was(pair, aspect), becomes=int(becomes),
            ratio=from_log(float(d)), share=share,
            was_open=aspect is Aspect.VALUE and self._was_open[pair],
            becomes_open=level and merit is not None and self._opens(pair, merit, self._prices(moves)),
        )  # fmt: skip

    @cached_property
    def _was_open(self) -> tuple[bool, ...]:
        """Of each pair, whether its value is level and not shown to be."""
        return tuple(
            codes[Aspect.VALUE] == VALUE_LEVEL and self._opens(i, self.readings[i].merit, self.case.prices)
            for i, codes in enumerate(self._codes)
        )

    def _opens(self, pair: int, merit: Summed, prices: Mapping[str, float]) -> bool:
        """Whether the level value of a pair is not shown to be one at these prices."""
        a, b = self.place(pair)
        even = worth_of(merit, prices[b], fixed_minor=self.case.audience.fixed_minor)
        return is_open(even, prices[a], margin=self.case.study.margin)

    def _prices(self, moves: Sequence[Move]) -> dict[str, float]:
        """The prices after these moves."""
        moved = {m.name: float(m.after or 0.0) for m in moves if m.lever is Lever.PRICE}
        return {**self.case.prices, **moved}

    def value_at(self, pair: int, sums: Sums, state: int, *moves: Move) -> int:
        """The code of a pair's value with one state of its sums, after moves of prices."""
        a, b = self.place(pair)
        prices = self._prices(moves)
        paid = paid_log(prices[a], prices[b], fixed_minor=self.case.audience.fixed_minor)
        return int(value_codes(sums.merit.at(state), paid)[0])
