"""Better parts and upgrade paths for programs, as `docs/formats-json.md` says."""

from __future__ import annotations

from typing import Any

from evenhand.desk.money.better import Better, Choice
from evenhand.desk.money.bounding import MONEY, More
from evenhand.desk.money.courses import furthest, orders
from evenhand.desk.money.goods import Goods
from evenhand.desk.money.growing import Grown
from evenhand.desk.money.searching import Further
from evenhand.desk.money.shop import TIME_LIMIT_S, WATTS
from evenhand.desk.money.spending import Spent, Wish
from evenhand.desk.study.worth_answers import currency_answer
from evenhand.money.blame import Blame
from evenhand.money.courses import Course, steps_of


def better_answer(spent: Spent, further: Further, wish: Wish) -> dict[str, Any]:
    """The choices under a budget; the rest as far as it was found, null where it was not asked for."""
    grounds, found = spent.grounds, spent.found
    return {
        "study": grounds.record.study.key,
        "build": spent.build,
        "audience": grounds.here.audience.key,
        "currency": currency_answer(grounds.goods.currency),
        "budget": found.budget_minor,
        "margin": found.margin,
        "time_limit_s": TIME_LIMIT_S,
        "choices": [_choice(each) for each in found.choices],
        "more": _more(found),
        **_further(further, wish),
        "stopped": not further.whole,
        "unrated": list(found.unrated),
        "unpriced_kept": list(grounds.shops[spent.build].unpriced_kept),
        "out_of_time": found.out_of_time,
        "unpriced": list(grounds.goods.unpriced),
        **_stale(grounds.goods),
        "power_otherwise": grounds.goods.power_said,
        "unsaid": list(grounds.goods.unsaid),
        "blame": None if found.choices or found.unrated or found.out_of_time else _blame(found.blame),
    }


def _choice(each: Choice) -> dict[str, Any]:
    return {
        "parts": list(each.parts), "new": list(each.new), "minor": each.minor, "index_ratio": each.index,
        "gap": each.gap,
    }  # fmt: skip


def _more(found: Better) -> dict[str, Any]:
    """What one more step of money or of watts would bring."""
    return {
        "step": found.step_minor, "money": _share(found.more.get(MONEY)),
        "watts_50": _share(found.more.get(WATTS)),
    }  # fmt: skip


def _further(further: Further, wish: Wish) -> dict[str, Any]:
    """What each part has room for, what rules cost, and what other budgets reach."""
    rooms = {
        key: {"share": each.share, "minor": each.minor, "gap": each.gap}
        for key, each in further.rooms.items()
    }
    reach = [
        {
            "budget": each.budget_minor, "minor": each.minor, "index": each.index, "new": list(each.new),
            "gap": each.gap,
        }
        for each in further.bought
    ]  # fmt: skip
    return {
        "rooms": rooms,
        "rules": {key: each.share for key, each in further.rules.items()} if wish.rules else None,
        "reach": reach if wish.budgets else None,
    }


def _blame(blame: Blame) -> dict[str, Any]:
    """Why nothing can be had for the budget."""
    return {
        "no_part_of": list(blame.empty), "least": blame.least_minor, "rules": list(blame.rules),
        "limits": list(blame.limits), "unknown_facts": blame.unsure,
    }  # fmt: skip


def _share(more: More | None) -> float | None:
    return None if more is None else more.share


def _stale(goods: Goods) -> dict[str, Any]:
    """Which parts cannot be bought by what was looked up last, and of which days the prices of others are."""
    return {
        "out_of_stock": {key: on.isoformat() for key, on in goods.out.items()},
        "old": {key: on.isoformat() for key, on in goods.old.items()},
        "price_days": [day.isoformat() for day in goods.days],
    }


def paths_answer(grown: Grown) -> dict[str, Any]:
    """The paths of all builds."""
    grounds, found = grown.grounds, grown.found
    terms = grounds.terms
    furthest_of = {build: furthest(own) for build, own in found.of_builds.items()}
    return {
        "study": grounds.record.study.key,
        "audience": grounds.here.audience.key,
        "currency": currency_answer(grounds.goods.currency),
        "assumed": {
            "months": terms.horizon_months, "cash": terms.cash_minor, "saved_a_month": terms.saved_minor,
            "resale": list(terms.resale), "fall": list(terms.fall),
        },
        "unbeaten": [_course(grown, each) for each in found.courses],
        "furthest": [_course(grown, each) for each in furthest_of.values() if each is not None],
        "orders": [
            {
                "ahead": one.start, "behind": other.start, "in_common": hold.in_common, "each": hold.each,
                "turns_at": hold.turns_at,
            }
            for one, other, hold in orders(found, margin=grounds.record.study.margin)
        ],
        "circles": [
            {
                "part": each.part, "bought_in": each.bought_in, "costs": each.costs_minor,
                "sold_in": each.sold_in, "fetches": each.fetches_minor,
            }
            for each in found.circles
        ],
        "left_out": {build: list(parts) for build, parts in found.left_out.items()},
        "unmeasured": list(found.unmeasured),
        "unpriced": list(grown.unpriced),
        "unfinished": list(found.unfinished),
        **_stale(grounds.goods),
        "power_otherwise": grounds.goods.power_said,
    }  # fmt: skip


def _course(grown: Grown, course: Course) -> dict[str, Any]:
    owned = grown.grounds.shops[course.start].own
    return {
        "build": course.start, "net": course.net_minor, "bought": course.bought_minor,
        "fetched": course.fetched_minor, "mean_index": course.path.mean, "least_index": course.path.least,
        "steps": [
            {"month": step.month, "bought": list(step.bought), "sold": list(step.sold)}
            for step in steps_of(owned, course.path)
        ],
    }  # fmt: skip
