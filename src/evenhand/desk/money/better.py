"""Better parts under a budget: the best that goes together, what is as good, and what each bound costs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from evenhand.desk.money.goods import Goods
from evenhand.desk.money.shop import WATTS, Shop
from evenhand.money.blame import Blame, blame
from evenhand.money.choosing import NoTime
from evenhand.money.fitted import Fitted
from evenhand.money.further import near, worth_of_more
from evenhand.money.shelves import Chosen, Terms

TIE = 0.01  # of a log of the index: choices nearer than that are as good as each other
STEP_W = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A machine: its parts of the kinds that were chosen, its whole price, and its index as a multiple.

    The index is of the build's own index; `new` are the parts that the build has not.
    """

    parts: tuple[str, ...]
    new: tuple[str, ...]
    minor: int
    index: float
    gap: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Better:
    """The choices under a budget, ties of the best; none, and what is to blame.

    Of the build's own parts the `unrated` have no score: nothing can be held against it then.
    `more` is by how much the index would be higher (a share) with `step_minor` more money ("") or 50 W more
    ("watts"); `rules` the same were one rule not asked, of those that cost anything.
    """

    budget_minor: int
    step_minor: int
    unrated: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    more: Mapping[str, float] = field(default_factory=dict)
    rules: Mapping[str, float] = field(default_factory=dict)
    blame: Blame = field(default_factory=Blame)
    out_of_time: bool = False


def better_parts(shop: Shop, goods: Goods, budget_minor: int, *, most: int = 5) -> Better:
    """The best machines for a budget, in minor units for the whole machine."""
    terms, step = shop.terms(budget_minor), step_of(budget_minor)
    unrated = tuple(key for key in shop.own if key not in goods.scores)
    if unrated:
        return Better(budget_minor=budget_minor, step_minor=step, unrated=unrated)
    try:
        found = worthy(near(shop.fitted.best, terms, within=TIE, most=2 * most))[:most]
        if not found:
            return Better(budget_minor=budget_minor, step_minor=step, blame=blamed(shop, terms))
        more = what_more_brings(shop, terms, found[0], step_minor=step)
    except NoTime:
        return Better(budget_minor=budget_minor, step_minor=step, out_of_time=True)
    return Better(
        budget_minor=budget_minor,
        step_minor=step,
        choices=tuple(choice_of(shop, goods, each) for each in found),
        more={name: math.expm1(gain) for name, gain in more.items()},
    )


def what_more_brings(shop: Shop, terms: Terms, now: Chosen, *, step_minor: int) -> dict[str, float]:
    """What the score would gain by a step more of money (""), and by 50 W more from every supply."""
    dearer = replace(terms, budget_minor=terms.budget_minor + step_minor)
    stronger = replace(terms, limits={**terms.limits, WATTS: terms.limits[WATTS] + STEP_W})
    more = {"": (shop.fitted.best, dearer), WATTS: (shop.fitted.with_more_power(STEP_W).best, stronger)}
    return worth_of_more(now, more)


def worthy(found: Sequence[Chosen]) -> tuple[Chosen, ...]:
    """Those that cost less or score more than each other one: of parts that add nothing none is told."""
    return tuple(
        each for i, each in enumerate(found)
        if not any(
            other.minor <= each.minor and other.score >= each.score
            and ((other.minor, other.score) != (each.minor, each.score) or k < i)
            for k, other in enumerate(found) if k != i
        )
    )  # fmt: skip


def with_rules(found: Better, shop: Shop) -> Better:
    """The same with what each rule costs: one more search for each rule that bars anything."""
    terms = shop.terms(found.budget_minor)
    now = _in_time(shop.fitted, terms)
    if now is None:
        return found
    costs = {}
    for rule in sorted({*shop.fitted.shelf.misfits, *(cut.rule for cut in shop.fitted.cuts)}):
        freed = _in_time(shop.fitted.without(rule), terms)
        if freed is not None and freed.score > now.score + TIE:
            costs[rule] = math.expm1(freed.score - now.score)
    return replace(found, rules=dict(sorted(costs.items(), key=lambda each: -each[1])))


def _in_time(fitted: Fitted, terms: Terms) -> Chosen | None:
    try:
        return fitted.best(terms)
    except NoTime:
        return None


def blamed(shop: Shop, terms: Terms) -> Blame:
    """What bars every choice; where only whole builds do, the rules that say so."""
    found = blame(shop.fitted.shelf, terms)
    if found == Blame():
        return Blame(rules=tuple(dict.fromkeys(cut.rule for cut in shop.fitted.cuts)))
    least = found.least_minor
    return found if least is None else replace(found, least_minor=least + shop.kept_minor)


def choice_of(shop: Shop, goods: Goods, chosen: Chosen) -> Choice:
    """A choice as a machine, against the build that it begins with."""
    own = sum(goods.scores[key] for key in shop.own)
    return Choice(
        parts=chosen.parts,
        new=tuple(key for key in chosen.parts if key not in shop.own),
        minor=chosen.minor + shop.kept_minor,
        index=math.exp(chosen.score - own),
        gap=chosen.gap,
    )


def step_of(budget_minor: int) -> int:
    """A round amount of about a twenty-fifth of a budget: 40 of 1,000.

    >>> step_of(1000), step_of(74200), step_of(90)
    (40, 3000, 4)
    """
    about = budget_minor / 25
    if about < 1:
        return 1
    power: int = 10 ** math.floor(math.log10(about))
    return max(1, round(about / power) * power)
