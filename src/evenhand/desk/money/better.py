"""Better parts under a budget: the best that goes together, what is as good, and why there is none."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from evenhand.desk.money.bounding import Costs, More, money_and_power
from evenhand.desk.money.goods import Goods
from evenhand.desk.money.shop import Shop
from evenhand.money.blame import Blame, blame
from evenhand.money.choosing import NoTime
from evenhand.money.further import ties
from evenhand.money.shelves import Chosen, Terms


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
    """The choices under a budget: the best, and cheaper ones within the `margin` of it; none, and the blame.

    Of the build's own parts the `unrated` have no score: nothing can be held against it then. `best` is the
    first as it was found. `more` is what `step_minor` more money ("") and 50 W more ("watts") buy.
    """

    budget_minor: int
    step_minor: int
    margin: float
    unrated: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    best: Chosen | None = None
    more: Mapping[str, More] = field(default_factory=dict)
    blame: Blame = field(default_factory=Blame)
    out_of_time: bool = False


def better_parts(shop: Shop, goods: Goods, budget_minor: int, *, margin: float, most: int = 5) -> Better:
    """The best machines for a budget, in minor units for the whole machine.

    `margin` is the smallest difference that matters, as a share: what is worse by less is as good.
    """
    terms, step = shop.terms(budget_minor), step_of(budget_minor)
    nothing = Better(budget_minor=budget_minor, step_minor=step, margin=margin)
    unrated = tuple(key for key in shop.own if key not in goods.scores)
    if unrated:
        return replace(nothing, unrated=unrated)
    try:
        found = ties(shop.fitted.best, terms, within=-math.log1p(-margin), most=most)
    except NoTime:
        return replace(nothing, out_of_time=True)
    if not found:
        return replace(nothing, blame=blamed(shop, terms))
    costs = Costs(shop, terms, found[0])
    looser = money_and_power(shop, terms, step_minor=step)
    more = {each.name: costs.of(each.fitted, each.terms) for each in looser}
    return replace(
        nothing, best=found[0], choices=tuple(choice_of(shop, goods, each) for each in found),
        more={name: each for name, each in more.items() if each is not None},
    )  # fmt: skip


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
