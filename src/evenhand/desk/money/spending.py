"""Better parts under a budget, as somebody asks for them: of which build, for whom, for how much."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.money.better import Better, better_parts, with_rules
from evenhand.desk.money.grounds import Grounds, grounds_of
from evenhand.errors import BadRecord
from evenhand.publish.numbers import capital
from evenhand.records.amounts import minor_of
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is asked: a build to begin with and an audience by key, "" for the first; a budget as written.

    Without one the study's own budget is taken, or else what the build costs. `rules` asks what each rule of
    fit costs as well, which takes longer.
    """

    build: str = ""
    audience: str = ""
    budget: str = ""
    rules: bool = False


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
        found = better_parts(shop, grounds.goods, minor)
        return with_rules(found, shop) if wish.rules else found

    key = ("better parts", study, wish.audience, shop.build, minor, wish.rules)
    return Spent(build=shop.build, grounds=grounds, found=wb.lately(key, search))


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
