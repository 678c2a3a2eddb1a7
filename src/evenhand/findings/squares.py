"""What an effect takes for granted: that effects multiply, and that it is the same beside other parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from evenhand.findings.crossing import plain
from evenhand.findings.factors import NOT_ON_RECORD, Factors
from evenhand.findings.finding import Caveat
from evenhand.findings.listing import under_words
from evenhand.stats.contrasts import interaction_weights
from evenhand.stats.designs import Change, Design, bundles, is_direct, is_estimable, joined
from evenhand.stats.spread import Floats

SWAP_OTHERWISE = "swap-otherwise"  # the caveat of a bundle that a swap under another driver would split
ONE_ORDER = "one-order"  # the caveat of an effect that was seen beside one choice of the other parts


def interaction(factors: Factors, first: Sequence[Change], second: Sequence[Change]) -> Floats | None:
    """The interaction of two groups of changes, each taken as one change; None where no square holds it."""
    design, one = joined(factors.design, first)
    design, other = joined(design, second)
    return interaction_weights(design, one, other)


def rests_on(
    change: Change, factors: Factors, beside: Sequence[Sequence[Change]], *, of: str
) -> Iterator[Caveat]:
    """What an effect takes for granted; `of` is the setup that is seen, with how it was measured."""
    if not is_direct(factors.design, change):
        words = f"no two setups differ in {plain(change.factor)} alone: it rests on effects that multiply"
        yield Caveat(key="adds-up", words=words)
    others = [plain(f) for f in factors.design.factors if f not in (change.factor, *factors.accidents)]
    squares = (interaction(factors, [change], group) for group in beside)
    if others and not _any_square(change, factors) and all(square is None for square in squares):
        words = (
            f"seen beside one choice of {' and '.join(others)}: whether it depends on that was not measured"
        )
        again = _closing(change, factors, of)
        under = under_words(factors.under(of))
        words += f"; {{setups[0]}}, run again under {plain(under)} as this was, would tell" if again else ""
        yield Caveat(key=ONE_ORDER, words=words, setups=again[:1])


def _closing(change: Change, factors: Factors, of: str) -> tuple[str, ...]:
    """Setups that were measured otherwise, and would close a square if they were measured as this one was."""
    return tuple(setup for setup, moved in _as_of(factors, of) if _any_square(change, moved))


def _as_of(factors: Factors, of: str) -> Iterator[tuple[str, Factors]]:
    """Each setup that was measured otherwise than this one, and the factors if it had been measured alike."""
    design, mine = factors.design, factors.row(of)
    kept = [name in factors.accidents for name in design.factors]
    for i, row in enumerate(design.rows):
        again = tuple(m if keep else x for m, x, keep in zip(mine, row, kept, strict=True))
        if again != row:
            rows = (*design.rows[:i], again, *design.rows[i + 1 :])
            yield factors.setups[i], replace(factors, design=Design(factors=design.factors, rows=rows))


def swaps_otherwise(group: Sequence[Change], factors: Factors, *, of: str) -> Iterator[Caveat]:
    """Setups on record that would tell these changes apart, had they been measured as `of` was.

    `of` is one side of the pair that the bundle lies between, the other being measured alike.
    """
    name = " and ".join(map(plain, factors.said))
    for setup, moved in _as_of(factors, of):
        apart = sorted(bundles(moved.design, group), key=len)
        if len(apart) > 1 and all(is_estimable(moved.design, part) for part in apart):
            under = factors.under(setup)
            how = f"its {name} is not on record"
            how = how if NOT_ON_RECORD in under.values() else f"was run under {plain(under_words(under))}"
            told = " from ".join(" and ".join(plain(change.factor) for change in part) for part in apart)
            words = f"{{setups[0]}} would tell {told}, but {how}: recorded under another {name}, a swap "
            yield Caveat(key=SWAP_OTHERWISE, words=f"{words}shows no cause", setups=(setup,))


def _any_square(change: Change, factors: Factors) -> bool:
    design = factors.design
    others = [
        Change(factor=factor, low=low, high=high)
        for factor, levels in design.levels.items() if factor not in (change.factor, *factors.accidents)
        for low, high in combinations(levels, 2)
    ]  # fmt: skip
    return any(interaction_weights(design, change, other) is not None for other in others)
