"""Beyond the best choice: its ties, and the best under every budget."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Protocol

from evenhand.money.shelves import Chosen, Terms


class Find(Protocol):
    """Finds the best choice under terms; None where there is none."""

    def __call__(self, terms: Terms) -> Chosen | None:
        """The best one."""


def ties(find: Find, terms: Terms, *, within: float, most: int = 8) -> tuple[Chosen, ...]:
    """The best choice, and cheaper ones that score no more than `within` less, the best first.

    Each is the best of those that cost less than the one before it, so that none costs more for nothing.
    """
    found: list[Chosen] = []
    while len(found) < most:
        another = find(terms)
        if another is None:
            break
        found.append(another)
        least = found[0].score - within
        terms = replace(terms, budget_minor=another.minor - 1, least_score=least)
    return tuple(found)


def frontier(find: Find, terms: Terms, budgets: Iterable[int]) -> Iterator[tuple[int, Chosen | None]]:
    """The best choice under each budget, the least budget first, each as it is found.

    What a budget buys, a larger one buys as well, and its best scores no less: that is quicker to find.
    """
    least = terms.least_score
    for budget in sorted(set(budgets)):
        best = find(replace(terms, budget_minor=budget, least_score=least))
        least = least if best is None else best.score
        yield budget, best
