"""Cards of the Saltmarsh builds, in their usual and in their awkward cases."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

from tests.publish import saltmarsh as s
from tests.verdicts.test_among import LEVEL
from tests.verdicts.test_among import said as judged

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.money.break_even import BreakEven, Value
from evenhand.money.owning import Keeping, owned
from evenhand.money.price_days import Usual
from evenhand.publish.card_titles import Sayings
from evenhand.publish.figures.beside import Measured, beside_card
from evenhand.publish.figures.break_even import Level, Prices, break_even_cards
from evenhand.publish.figures.course_lines import CourseLine
from evenhand.publish.figures.flip_cards import Flips, flip_card
from evenhand.publish.figures.frontier import Frontier, Reach, Stands
from evenhand.publish.figures.growing_cards import courses_card, frontier_card
from evenhand.publish.figures.headline import ForWhom, headline_cards
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.figures.method_card import Line, method_cards
from evenhand.publish.figures.owning import Bar
from evenhand.publish.figures.owning_card import OwningScene, owning_cards
from evenhand.publish.figures.parts_card import BuildParts, PartLine, parts_cards
from evenhand.publish.figures.price_card import PriceLine, PriceLines, price_history_card
from evenhand.publish.figures.price_index import Point, PriceIndex, price_index_card
from evenhand.publish.names import Names, SetupName
from evenhand.publish.owning_words import line_words
from evenhand.publish.path_words import card_assumed_words
from evenhand.publish.picture import Picture
from evenhand.publish.spans import percent_span
from evenhand.publish.style import Style
from evenhand.publish.tried_words import nothing_turns
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency, Price
from evenhand.verdicts.among import Among, among
from evenhand.verdicts.backing import of, sentence
from evenhand.verdicts.claims import As
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move

DRELL = Currency(symbol="dl", decimals=0)
DAY = date(2026, 11, 24)
AUDIENCES = {"play": "Mostly play", "half": "Half and half", "edit": "Mostly editing", "new": "New seats"}
TWELVE = Names(
    setups={f"b{i}": SetupName(name=f"Build {i + 1}", slot=1 + i % 5) for i in range(12)}, tests={}
)


def about(names: Names) -> Pair:
    return Pair(a="plover", b="dunlin", names=names.drawn(), margin=0.03, level=0.95)


def sayings(*keys: str, audience: str = "play") -> Sayings:
    slots = {
        "a": of(As.SETUP, "plover"), "b": of(As.SETUP, "dunlin"), "better": of(As.SETUP, "plover"),
        "other": of(As.SETUP, "dunlin"),
        "audience": of(As.AUDIENCE, audience), "lead": of(As.LEAD, 1.1, 1.05, 1.15),
        "margin": of(As.SHARE, 0.03), "money": of(As.MONEY, 1019), "days": of(As.DAY, DAY),
        "side": of(As.WORD, "less than"), "where": of(As.WORD, "At idle"),
        "decibels": of(As.DECIBELS, 2.9, 2.3, 3.5),
    }  # fmt: skip
    said = tuple(sentence(key, **slots) for key in keys)
    return Sayings(said=said, audiences=AUDIENCES, currency=DRELL)


def row(ratio: float, outcome: Outcome, names: Names) -> Row:
    leader = about(names).leader(outcome)
    span = percent_span(ratio, ratio - 0.01, ratio + 0.01)
    word = outcome.value if leader is None else f"{abs(span.value):.1f}\u00a0%"
    return Row(label="", outcome=outcome, span=span, leader=leader, word=word)


def for_whom(names: Names) -> list[ForWhom]:
    found = [
        (1.014, Outcome.LEVEL, "audience-level"), (1.3, Outcome.AHEAD, "audience-ahead"),
        (0.7, Outcome.BEHIND, "audience-behind"), (1.02, Outcome.UNSETTLED, "audience-unsettled"),
    ]  # fmt: skip
    return [
        ForWhom(name=name, sayings=sayings(key, "value", audience=audience), row=row(ratio, outcome, names))
        for (audience, name), (ratio, outcome, key) in zip(AUDIENCES.items(), found, strict=True)
    ]


def prices(levels: int = 4, now: int = 998) -> Prices:
    bands = [(1019, 1034), (1001, 1015), (983, 997), (1021, 1039)]
    rows = tuple(
        Level(
            audience=name, even=BreakEven(at=(low + high) / 2, low=low, high=high),
            sayings=sayings("value", audience=audience),
        )
        for (audience, name), (low, high) in list(zip(AUDIENCES.items(), bands, strict=True))[:levels]
    )  # fmt: skip
    return Prices(a="plover", b="dunlin", now=now, other=1012, days=(DAY,), currency=DRELL, levels=rows)


def flip(move: Move, aspect: Aspect = Aspect.VALUE, becomes: int = 0, ratio: float = 1.014) -> Flip:
    return Flip(a="plover", b="dunlin", aspect=aspect, moves=(move,), was=1, becomes=becomes, ratio=ratio)


def flips(names: Names) -> Flips:
    moves = (
        flip(Move(lever=Lever.PRICE, name="plover", size=0.02, before=998, after=1019), becomes=3),
        flip(Move(lever=Lever.WEIGHT, name="games", size=0.2, before=0.8, after=0.57), Aspect.ORDER, -1),
        flip(Move(lever=Lever.TITLE, name="causeway", size=0.2), Aspect.ORDER, -1, ratio=0.99),
        flip(Move(lever=Lever.MARGIN, name="", size=0.3, before=0.03, after=0.02), Aspect.ORDER, -1),
        flip(Move(lever=Lever.RUN, name="r1", size=0.2), Aspect.ORDER, -1, ratio=0.97),
        flip(Move(lever=Lever.METRIC, name="", size=0.2), Aspect.ORDER, -1, ratio=1.08),
    )
    return Flips(
        about=about(names), audience="Mostly play", ratio=1.014, flips=moves, currency=DRELL,
        runs={"r1": "Plover, Hollow Regatta 3"}, now=sayings("audience-level"),
        nothing=nothing_turns(list(Lever), value=True),
    )  # fmt: skip


def gap(topic: Topic, difference: float | None, outcome: Outcome, **more: object) -> Gap:
    ends = {} if difference is None else {"low": difference - 0.6, "high": difference + 0.6}
    made = Gap(
        topic=topic, a="plover", b="dunlin", outcome=outcome, difference=difference, margin=1.0, **ends
    )
    return replace(made, **more)


def measured(names: Names, *, full: bool = True) -> Measured:
    gaps = (
        gap(Topic.SOUND, 2.9, Outcome.BEHIND, test="causeway"),
        gap(Topic.SOUND, 0.4, Outcome.UNSETTLED),
        gap(Topic.TEMPERATURE, None, Outcome.UNSETTLED, part="processor"),
    )
    watts = tuple(replace(f, ratio=1.16, low=1.15, high=1.18, outcome=Outcome.AHEAD) for f in s.PAIR[:5])
    return Measured(
        about=about(names), gaps=gaps if full else (), watts=watts if full else (),
        sayings=sayings("quieter-behind") if full else Sayings(),
    )  # fmt: skip


def of_all(setups: tuple[str, ...], values: list[Value]) -> Among | None:
    pairs = list(combinations(setups, 2))
    return among([judged(a, b, LEVEL, value) for (a, b), value in zip(pairs, values, strict=True)], pairs)


def price_index(setups: tuple[str, ...]) -> PriceIndex:
    points = tuple(
        Point(
            setup=key,
            minor=700 + 37 * (i * 5 % 12),
            index=100 - 1.7 * i,
            low=99 - 1.7 * i,
            high=101 - 1.7 * i,
        )
        for i, key in enumerate(setups)
    )
    return PriceIndex(
        audience="Mostly play", base=setups[0], points=points, currency=DRELL, days=(DAY,),
        unpriced=(), sayings=sayings("value"),
        among=of_all(setups, [Value.A] * (len(setups) * (len(setups) - 1) // 2)),
    )  # fmt: skip


def price_lines(setups: tuple[str, ...]) -> PriceLines:
    """Builds that cost about the same, one of them with a gap, one looked at on a single day."""
    looks = ((0, 30, 52, 60, 89), (0, 20, 89), (5,))
    lines = tuple(
        PriceLine(
            setup=key,
            days={DAY - timedelta(days=ago): 990 + 13 * i + ago % 40 for ago in looks[i % 3]},
            usual=Usual(minor=995 + 13 * i, days=2) if i % 3 < 2 else None,
        )
        for i, key in enumerate(setups)
    )
    return PriceLines(lines=lines, currency=DRELL, until=DAY)


def reach(setups: tuple[str, ...]) -> Frontier:
    """Machines that are better and better, dearer than the least budget; builds below and on that line."""
    reaches = tuple(Reach(minor=740 + 40 * n, index=80 + n * 3.0) for n in range(19))
    stands = tuple(Stands(setup=key, minor=742 + 90 * i, index=78 + 6.0 * i) for i, key in enumerate(setups))
    return Frontier(
        base="Plover", reaches=reaches, builds=stands, currency=DRELL, least_minor=700, most_minor=1500
    )


def path_card(setups: tuple[str, ...], names: Names, style: Style) -> Picture:
    """Paths of which each changes once and a few twice."""
    lines = [
        CourseLine(
            setup=key, indexes=((0, 1 + i / 10), (12 + i, 1.4 + i / 10), (30, 1.45 + i / 10))[: 2 + i % 2],
            net_minor=813 + 77 * i, mean=1.3 + 0.1 * i,
        )
        for i, key in enumerate(setups)
    ]  # fmt: skip
    assumed = card_assumed_words(MoneyTerms(saved_minor=18), DRELL)
    return courses_card(
        lines, names, audience="Mostly play", months=36, currency=DRELL, assumed=assumed, style=style
    )


KEEPING = Keeping(
    years=3, repairs_minor=20, resale=(0.6, 0.8), fall=(0.25, 0.45), hours=(900, 1500), tariff=(0.28, 0.36)
)


def owning(setups: tuple[str, ...], watts: float | None = 310.0) -> OwningScene:
    bars = tuple(Bar(setup=key, own=owned(998 + 40 * i, watts, KEEPING)) for i, key in enumerate(setups))
    return OwningScene(
        audience="Mostly play", bars=bars, years=3, currency=DRELL, counted=watts is not None,
        told=line_words(KEEPING, DRELL, counted=watts is not None), days=(DAY,),
    )  # fmt: skip


PARTS = (
    ("processor", "Brellow Ash 6", "bought"), ("graphics", "Harrowfen Lantern 40", "on loan from Harrowfen"),
    ("board", "Nimtal Quay B, second revision", ""), ("supply", "Osk & Dunsolt 650", "bought"),
    ("memory", "Nimtal Pair 32 GiB", "bought"), ("storage", "Harrowfen Slate 1 TB", "bought"),
    ("case", "Osk & Dunsolt Crate", "bought"), ("cooler", "Brellow Breeze", "bought"),
)  # fmt: skip


def build(parts: tuple[tuple[str, str, str], ...] = PARTS) -> BuildParts:
    lines = tuple(PartLine(kind=kind, name=name, disclosed=how) for kind, name, how in parts)
    price = Price(build="plover", minor=998, currency=DRELL, on=DAY, note="counter price, tax inside")
    return BuildParts(setup="plover", parts=lines, price=price)


LINES = (
    Line(term="Tests", text="Salt Causeway, Nine Tramlines, Hollow Regatta, Ember Parish and Quarry Choir."),
    Line(term="Left out", text="; ".join(f"Plover, Hollow Regatta {i}, capped" for i in range(30)) + "."),
    Line(term="Numbers", text="Average fps; score as reported."),
)


def all_cards(names: Names, style: Style) -> dict[str, tuple[Picture, ...]]:
    foot = ("Nine tests.", "Prices of 24 November 2026.")
    builds = tuple(k for k in ("plover", "dunlin", "wren") if k in names.setups)
    return {
        "headline": headline_cards(for_whom(names), about(names), foot, style=style),
        "break-even": break_even_cards(prices(), names, style=style),
        "break-even, price far off": break_even_cards(prices(2, now=4000), names, style=style),
        "flips": (flip_card(flips(names), foot, style=style),),
        "flips, none": (flip_card(replace(flips(names), flips=()), foot, style=style),),
        "beside": (beside_card(measured(names), style=style),),
        "beside, nothing": (beside_card(measured(names, full=False), style=style),),
        "price": (price_index_card(price_index(builds), names, style=style),),
        "price history": (price_history_card(price_lines(builds), names, style=style),),
        "reach": (frontier_card(reach(builds), names, audience="Mostly play", style=style),),
        "paths": (path_card(builds, names, style),),
        "owning": owning_cards(owning(builds), names, style=style),
        "owning, no electricity": owning_cards(owning(builds, None), names, style=style),
        "parts": parts_cards(build(), names, style=style),
        "parts, none": parts_cards(replace(build(()), price=None), names, style=style),
        "parts, many": parts_cards(build(PARTS * 3), names, style=style),
        "method": method_cards(LINES, "Evenhand 1, from the record 0123456789ab.", names, style=style),
    }
