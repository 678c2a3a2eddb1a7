"""The page of better parts: the best for a budget, what more would buy, and what each budget reaches."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from evenhand.desk.money.better import Choice
from evenhand.desk.money.goods import Goods
from evenhand.desk.money.grounds import Grounds, left_out, stands_on
from evenhand.desk.money.reach import frontier_of
from evenhand.desk.money.searching import Bought, Further
from evenhand.desk.money.shop import Shop
from evenhand.desk.money.spending import Spent
from evenhand.desk.names import names_of, slots_of
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.publish import choice_words as words
from evenhand.publish.bound_words import LEAST, more_words, room_words, rule_words, ties_words
from evenhand.publish.figures.frontier import frontier_figure
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, listed, number
from evenhand.publish.picture import Picture
from evenhand.publish.style import CALLED, Medium
from evenhand.records.amounts import plain_amount


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceRow:
    """One machine: its new parts, the price of the whole, and how it stands to the build's own index."""

    new: str
    kept: str
    price: str
    beside: str
    gap: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A build or an audience that may be asked for."""

    key: str
    name: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachRow:
    """What a budget buys: the machine's price, index and new parts, and how far off a better one may be."""

    budget: str
    price: str
    index: str
    new: str
    gap: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """What each budget reaches, drawn, and the same as rows."""

    picture: Picture
    rows: tuple[ReachRow, ...]
    builds: tuple[tuple[str, int, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLink:
    """A card for one medium: what that is called, and where its files are."""

    medium: str
    png: str
    svg: str


def card_links(place: str) -> tuple[CardLink, ...]:
    """A card for each medium; `place` has an "{ending}" for the kind of file, and asks for something."""
    return tuple(
        CardLink(
            medium=CALLED[medium],
            png=f"{place.format(ending='png')}&medium={medium.value}",
            svg=f"{place.format(ending='svg')}&medium={medium.value}",
        )
        for medium in Medium
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FurtherPart:
    """What takes longer: what bounds cost, in sentences, and what other budgets reach; cards of the whole."""

    rooms: tuple[str, ...]
    rules: tuple[str, ...]
    reached: Reached | None
    whole: bool
    cards: tuple[CardLink, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BetterPage:
    """Everything the page shows, in its order.

    Without a `further` part that takes longer, and is to be had at `whole`; `asked` is that address's query.
    """

    frame: Frame
    answer: str
    about: str
    builds: tuple[Option, ...]
    audiences: tuple[Option, ...]
    budget: str
    symbol: str
    choices: tuple[ChoiceRow, ...]
    ties: str
    more: str
    alike: str
    left_out: tuple[str, ...]
    further: FurtherPart | None
    whole: str
    asked: str
    back: str


def better_page(spent: Spent, further: Further | None) -> BetterPage:
    """The page for what was found, with as much of what takes longer as is there."""
    grounds, found, goods = spent.grounds, spent.found, spent.grounds.goods
    shop, step = grounds.shops[spent.build], amount(found.step_minor, goods.currency)
    unpriced = tuple(goods.names[key] for key in shop.unpriced_kept)
    about = (words.ESTIMATED, *stands_on(goods), words.kept_words(unpriced))
    whole = f"{better_address(spent)}&whole=1"
    return BetterPage(
        frame=frame_of(grounds.record, "money"),
        answer=_answer(spent),
        about=" ".join(filter(None, about)) if found.choices else "",
        builds=tuple(Option(key=k, name=grounds.name(k), here=k == spent.build) for k in grounds.shops),
        audiences=tuple(
            Option(key=each.key, name=each.name, here=each.key == grounds.here.audience.key)
            for each in grounds.record.study.audiences
        ),
        budget=plain_amount(found.budget_minor, goods.currency),
        symbol=goods.currency.symbol,
        choices=tuple(choice_row(grounds, shop, each) for each in found.choices),
        ties=ties_words(found.margin),
        more=more_words({name: each.share for name, each in found.more.items()}, step=step, watts=50),
        alike=words.alike_words(shop.alike) if found.choices else "",
        left_out=left_out(goods),
        further=_further(spent, further) if found.choices and further is not None else None,
        whole=whole if found.choices else "",
        asked=whole.partition("?")[2],
        back=address(grounds.record.study.key, "money"),
    )


def _further(spent: Spent, found: Further) -> FurtherPart:
    rooms = {key: (each.share, each.minor) for key, each in found.rooms.items()}
    rules = sorted(found.rules.items(), key=lambda each: -each[1].share)
    reached = _reached(spent, found)
    place = better_address(spent).replace("better?", "better/card.{ending}?")
    return FurtherPart(
        rooms=room_words(rooms, spent.found.choices[0].minor, spent.grounds.goods.currency),
        rules=tuple(rule_words(rule, each.share) for rule, each in rules if each.share > LEAST),
        reached=reached, whole=found.whole, cards=card_links(place) if reached and found.whole else (),
    )  # fmt: skip


def better_address(spent: Spent) -> str:
    """Where the page for what was asked stands."""
    grounds = spent.grounds
    asked = {
        "build": spent.build,
        "audience": grounds.here.audience.key if grounds.record.study.audiences else "",
        "budget": plain_amount(spent.found.budget_minor, grounds.goods.currency),
    }
    query = urlencode({key: value for key, value in asked.items() if value})
    return f"{address(grounds.record.study.key, 'money', 'better')}?{query}"


def _answer(spent: Spent) -> str:
    """What the page opens with."""
    grounds, found = spent.grounds, spent.found
    goods, build = grounds.goods, grounds.name(spent.build)
    money = amount(found.budget_minor, goods.currency)
    if found.unrated:
        parts = [goods.names[key] for key in found.unrated]
        return words.unrated_words(parts, build=build, roles=goods.roles)
    if found.out_of_time:
        return words.OUT_OF_TIME
    if not found.choices:
        return words.blame_words(found.blame, budget=money, currency=goods.currency)
    best = found.choices[0]
    told = words.choice_words(
        best.index, best.minor, best.new, build=build, names=goods.names, currency=goods.currency
    )
    return f"{capital(told)}."


def choice_row(grounds: Grounds, shop: Shop, choice: Choice) -> ChoiceRow:
    """A machine as a row."""
    names, build = grounds.goods.names, grounds.name(shop.build)
    kept = tuple(names[key] for key in choice.parts if key not in choice.new)
    return ChoiceRow(
        new=listed(tuple(names[key] for key in choice.new)) or "nothing new",
        kept=listed((*kept, *(item.name for item in shop.kept))),
        price=amount(choice.minor, grounds.goods.currency),
        beside=words.beside_words(choice.index, build),
        gap=words.gap_words(choice.gap) if choice.gap else "",
    )


def _reached(spent: Spent, further: Further) -> Reached | None:
    found = frontier_of(spent, further)
    if found is None:
        return None
    names, slots, currency = names_of(spent.grounds.record), slots_of(spent.grounds.record), found.currency
    return Reached(
        picture=frontier_figure(found, names),
        rows=tuple(_reach_row(each, spent.grounds.goods) for each in further.bought),
        builds=tuple(
            (names.setup(each.setup), slots[each.setup],
             f"{amount(each.minor, currency)}, index {number(each.index, 0)}, measured")
            for each in found.builds
        ),
    )  # fmt: skip


def _reach_row(each: Bought, goods: Goods) -> ReachRow:
    budget = amount(each.budget_minor, goods.currency)
    if each.minor is None or each.index is None:
        return ReachRow(budget=budget, price="nothing", index="none", new="", gap="")
    return ReachRow(
        budget=budget, price=amount(each.minor, goods.currency), index=number(each.index, 0),
        new=listed(tuple(goods.names[key] for key in each.new)) or "nothing new",
        gap=words.gap_words(each.gap) if each.gap else "",
    )  # fmt: skip
