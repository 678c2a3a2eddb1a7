"""Why no choice of parts is left: every bound without which there would be one."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.money.choosing import best
from evenhand.money.shelves import Shelf, Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class Blame:
    """Why there is no choice: the kinds that nothing is of, and each bound without which there would be one.

    `least_minor` is what the cheapest choice costs, where there is one at any price. `rules` are those whose
    misfits, `limits` those whose bound, bar every choice by themselves; `unsure` says that facts which nobody
    knows do.
    """

    empty: tuple[str, ...] = ()
    least_minor: int | None = None
    rules: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    unsure: bool = False


def blame(shelf: Shelf, terms: Terms) -> Blame:
    """What bars every choice, each bound taken away by itself. Nothing where there is a choice."""
    empty = tuple(kind for kind in shelf.kinds if not shelf.of_kind[kind])
    if empty:
        return Blame(empty=empty)
    if best(shelf, terms) is not None:
        return Blame()
    free = sum(each.minor for each in shelf.candidates)
    plain = tuple(replace(each, score=-float(each.minor)) for each in shelf.candidates)
    cheapest = best(replace(shelf, candidates=plain), replace(terms, budget_minor=free))
    without = {
        rule: replace(shelf, misfits={k: v for k, v in shelf.misfits.items() if k != rule})
        for rule in shelf.misfits
    }
    looser = {
        name: replace(terms, limits={k: v for k, v in terms.limits.items() if k != name})
        for name in terms.limits
    }
    return Blame(
        least_minor=None if cheapest is None else cheapest.minor,
        rules=tuple(rule for rule, each in without.items() if best(each, terms) is not None),
        limits=tuple(name for name, each in looser.items() if best(shelf, each) is not None),
        unsure=best(replace(shelf, unsure=frozenset()), terms) is not None,
    )
