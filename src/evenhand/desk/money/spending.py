"""Better parts under a budget, as somebody asks for them: of which build, for whom, for how much."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from evenhand.desk.money.better import Better, better_parts
from evenhand.desk.money.grounds import Grounds, grounds_of
from evenhand.desk.money.searching import Further, Task, Watch, search_further, unwatched
from evenhand.errors import BadRecord
from evenhand.publish.numbers import capital
from evenhand.records.amounts import minor_of
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is asked: a build to begin with and an audience by key, "" for the first; a budget as written.

    Without one the study's own budget is taken, or else what the build costs. `rules` asks what each rule of
    fit costs as well, and `budgets` what twenty others buy, which takes longer.
    """

    build: str = ""
    audience: str = ""
    budget: str = ""
    rules: bool = False
    budgets: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """What was found, and what it stands on."""

    build: str
    grounds: Grounds
    found: Better


def better_for(wb: Workbench, study: str, wish: Wish) -> Spent:
    """The best parts under a budget. Raises NotFound, and BadRecord where the budget cannot be read."""
    grounds = grounds_of(wb, study, wish.audience)
    shop = grounds.shop(wish.build)
    minor = budget_of(grounds, shop.build, wish.budget)

    def search() -> Better:
        return better_parts(shop, grounds.goods, minor, margin=grounds.record.study.margin)

    key = ("better parts", study, wish.audience, shop.build, minor)
    return Spent(build=shop.build, grounds=grounds, found=wb.lately(key, search))


def further_for(
    wb: Workbench, spent: Spent, wish: Wish, *, watch: Watch = unwatched,
    keep: Callable[[Further], None] = lambda _: None,
) -> Further:  # fmt: skip
    """What takes longer, told step by step; nothing where there is no choice to begin with."""
    best, shop = spent.found.best, spent.grounds.shops[spent.build]
    if best is None:
        return Further()
    task = Task(
        shop=shop, goods=spent.grounds.goods, budget_minor=spent.found.budget_minor, now=best,
        rules=wish.rules, budgets=wish.budgets,
    )  # fmt: skip
    return wb.lately(_further_key(spent, wish), lambda: search_further(task, watch, keep))


def further_is_known(wb: Workbench, spent: Spent, wish: Wish) -> bool:
    """Whether that is found already since anything was last changed."""
    return spent.found.best is None or wb.has_lately(_further_key(spent, wish))


def _further_key(spent: Spent, wish: Wish) -> tuple[object, ...]:
    audience = spent.grounds.here.audience.key
    return (
        "further", spent.grounds.record.study.key, audience, spent.build, spent.found.budget_minor,
        wish.rules, wish.budgets,
    )  # fmt: skip


def budget_of(grounds: Grounds, build: str, written: str) -> int:
    """The budget in minor units. Raises BadRecord where there is none to be had."""
    if written.strip():
        return minor_of(written, grounds.goods.currency)
    minor = grounds.terms.budget_minor or grounds.paid.get(build)
    if minor is None:
        raise BadRecord(
            f"nobody said a budget, and {grounds.name(build)} has no price",
            where=grounds.record.study.key,
            todo="say how much the whole machine may cost",
        )
    return minor


def wrong_budget(wb: Workbench, study: str, wish: Wish) -> str:
    """Why the budget that was written cannot be read; "" where it can, or none was written."""
    grounds = grounds_of(wb, study, wish.audience)
    try:
        if wish.budget.strip():
            minor_of(wish.budget, grounds.goods.currency)
    except BadRecord as wrong:
        return f"{capital(wrong.found)}: {wrong.todo}. Below stands what the usual budget buys."
    return ""
