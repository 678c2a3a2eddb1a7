"""What takes longer than the best choice itself, step by step: what bounds cost, what other budgets buy."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import Any, TypeAlias

from evenhand.desk.money.better import choice_of, step_of
from evenhand.desk.money.bounding import Costs, More, rooms_of
from evenhand.desk.money.goods import Goods
from evenhand.desk.money.shop import Shop
from evenhand.money.choosing import NoTime
from evenhand.money.further import frontier
from evenhand.money.shelves import Chosen, Terms
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import number, with_unit

BUDGETS = 20
BELOW = 0.7  # of a budget: from which on others are looked at

Watch: TypeAlias = Callable[[int, int, str], None]
"""Told how many steps are done, of how many, and what is at hand; it may raise to stop the search."""


def unwatched(_done: int, _total: int, _doing: str) -> None:
    """Nobody looks, and nobody stops it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What a budget buys at its best: the price and the index, the build's own being 100, of the machine.

    Both are None where it buys none, or where the time ran out before one was found. `new` are the parts that
    the build has not, `gap` is how much better, as a share of the score, another one might still be.
    """

    budget_minor: int
    minor: int | None = None
    index: float | None = None
    new: tuple[str, ...] = ()
    gap: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Further:
    """What was found so far, in so many `steps` of all: by room and by rule what it costs, and budgets."""

    rooms: Mapping[str, More] = field(default_factory=dict)
    rules: Mapping[str, More] = field(default_factory=dict)
    bought: tuple[Bought, ...] = ()
    done: int = 0
    steps: int = 0

    @property
    def whole(self) -> bool:
        """Whether nothing is left to be searched."""
        return self.done == self.steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is to be searched: round a budget, from the best choice `now` within it on.

    What every room costs always, what `rules` cost and what other `budgets` buy where that is asked.
    """

    shop: Shop
    goods: Goods
    budget_minor: int
    now: Chosen
    rules: bool = True
    budgets: bool = True


def search_further(task: Task, watch: Watch, keep: Callable[[Further], None] = lambda _: None) -> Further:
    """All of it; `keep` is given what is found after every step, so that a stop loses nothing."""
    terms, rooms = task.shop.terms(task.budget_minor), rooms_of(task.shop)
    rules = sorted(task.shop.fitted.barring) if task.rules else []
    budgets = budgets_about(task.budget_minor) if task.budgets else ()
    costs = Costs(task.shop, terms, task.now)
    so_far = _SoFar(Further(steps=len(rooms) + len(rules) + len(budgets)), watch, keep)
    for room in rooms:
        so_far.begin(f"what {room.said} would buy")
        so_far.more("rooms", room.key, costs.of_room(room))
    for rule in rules:
        so_far.begin("what a rule of fit costs")
        so_far.more("rules", rule, costs.of_rule(rule))
    for bought in _bought(task, terms, budgets, so_far):
        so_far.buys(bought)
    return so_far.found


class _SoFar:
    """What is found, and who is told of it."""

    def __init__(self, found: Further, watch: Watch, keep: Callable[[Further], None]) -> None:
        self.found, self._watch, self._keep = found, watch, keep
        keep(found)

    def begin(self, doing: str) -> None:
        """Tells what is searched now, and how far off another choice might still be where time ran out."""
        gaps = [each.gap for each in self.found.bought] + [each.gap for each in self.found.rooms.values()]
        gap = f", proven to {with_unit(number(100 * max(gaps), 1), '%')}" if any(gaps) else ""
        self._watch(self.found.done, self.found.steps, f"{doing}{gap}")

    def more(self, of: str, key: str, more: More | None) -> None:
        """One bound more is searched; None where the time ran out."""
        told = getattr(self.found, of)
        self._go_on(**{of: told if more is None else {**told, key: more}})

    def buys(self, bought: Bought) -> None:
        """One budget more is searched."""
        self._go_on(bought=(*self.found.bought, bought))

    def _go_on(self, **told: Any) -> None:
        self.found = replace(self.found, **told, done=self.found.done + 1)
        self._keep(self.found)


def _bought(task: Task, terms: Terms, budgets: Sequence[int], so_far: _SoFar) -> Iterator[Bought]:
    """What each budget buys; a lesser one never buys more."""
    shop, goods = task.shop, task.goods

    def find(terms: Terms) -> Chosen | None:
        so_far.begin(f"what {amount(terms.budget_minor + shop.kept_minor, goods.currency)} buy")
        with suppress(NoTime):
            return shop.fitted.best(terms)
        return None

    for budget, chosen in frontier(find, terms, [each - shop.kept_minor for each in budgets]):
        if chosen is None:
            yield Bought(budget_minor=budget + shop.kept_minor)
            continue
        choice = choice_of(shop, goods, chosen)
        yield Bought(
            budget_minor=budget + shop.kept_minor, minor=choice.minor, index=100 * choice.index,
            new=choice.new, gap=choice.gap,
        )  # fmt: skip


def budgets_about(minor: int) -> tuple[int, ...]:
    """Twenty round budgets about one, that one among them.

    >>> budgets_about(1000)[:3], budgets_about(1000)[-1], 1000 in budgets_about(1000)
    ((720, 760, 800), 1480, True)
    """
    step = step_of(minor)
    first = max(step, round(minor * BELOW / step) * step)
    return tuple(sorted({minor, *(first + i * step for i in range(BUDGETS))}))
