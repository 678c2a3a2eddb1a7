"""Beyond the best choice: its ties, the best under every budget, and what more of a bound is worth."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Protocol

from evenhand.money.choosing import worth
from evenhand.money.shelves import Chosen, Terms


class Find(Protocol):
    """Finds the best choice under terms, other than those in `but`; None where there is none."""

    def __call__(self, terms: Terms, *, but: Sequence[Chosen] = ()) -> Chosen | None:
        """The best one."""


def near(find: Find, terms: Terms, *, within: float, most: int = 8) -> tuple[Chosen, ...]:
    """The best choice, and others that count for no more than `within` less: ties, the best first."""
    found: list[Chosen] = []
    while len(found) < most:
        another = find(terms, but=found)
        if another is None or (found and worth(another, terms) < worth(found[0], terms) - within):
            break
        found.append(another)
    return tuple(found)


def frontier(find: Find, terms: Terms, budgets: Iterable[int]) -> tuple[tuple[int, Chosen | None], ...]:
    """The best choice under each budget, the least budget first.

    What a budget buys, a larger one buys as well, and its best scores no less: that is quicker to find.
    """
    found: list[tuple[int, Chosen | None]] = []
    least = terms.least_score
    for budget in sorted(set(budgets)):
        best = find(replace(terms, budget_minor=budget, least_score=least))
        least = least if best is None else best.score
        found.append((budget, best))
    return tuple(found)


def worth_of_more(now: Chosen, more: Mapping[str, tuple[Find, Terms]]) -> dict[str, float]:
    """What the score would gain by more of each bound, each with who finds a choice under which terms.

    0 where it gains nothing.
    """
    gained = {name: find(terms) for name, (find, terms) in more.items()}
    return {name: max(0.0, each.score - now.score) if each else 0.0 for name, each in gained.items()}
