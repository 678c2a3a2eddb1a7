"""The whole set of a study's cards, in the order in which a video would show them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import combinations

from evenhand.desk.comparison.charting import Drawn, Set, interval_sets, numbered, rate_sets, strip_sets
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.card_ground import CardGround, PairKeys, ground_for
from evenhand.desk.publication.card_method import lines_of_method
from evenhand.desk.publication.card_parts import parts_of_builds
from evenhand.desk.publication.card_scenes import (
    beside_scene,
    flips_scene,
    foot_of_pair,
    headline_scene,
    price_scene,
    prices_scene,
)
from evenhand.desk.publication.house import house_now
from evenhand.desk.publication.kept_words import kept_now
from evenhand.publish.figures.beside import beside_card
from evenhand.publish.figures.break_even import break_even_cards
from evenhand.publish.figures.flip_cards import flip_card
from evenhand.publish.figures.headline import headline_cards
from evenhand.publish.figures.method_card import method_cards
from evenhand.publish.figures.parts_card import parts_cards
from evenhand.publish.figures.price_index import price_index_card
from evenhand.publish.house_style import HouseStyle, dressed
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.publish.style import Medium, Style, for_medium
from evenhand.publish.typeface import retyped
from evenhand.publish.written import writing
from evenhand.publish.written_pages import picture_written
from evenhand.store.workbench import Workbench
from evenhand.verdicts.front_pair import front_of_indexes

MOST_PAIRS = 3
"""Of so many pairs the set holds headline, break-even, flips and what was measured beside: all of three
setups, the first against the next ones of more. Interval plots are there for every pair."""


def cards_of(
    wb: Workbench,
    record: StudyOnRecord,
    *,
    theme: Theme = Theme.LIGHT,
    medium: Medium = Medium.WIDE,
    house: HouseStyle | None = None,
) -> tuple[Drawn, ...]:
    """Headlines, intervals, rates, money, flips, evidence beside, parts, runs, and how it was measured.

    They wear the accent and the mark of whoever publishes where no other house style is given.
    """
    house = house_now(wb) if house is None else house
    style = for_medium(medium, theme)
    key = _key(record, theme, medium, house)
    return wb.lately(key, lambda: tuple(cards_from(ground_for(wb, record), style, house)))


def are_drawn(wb: Workbench, record: StudyOnRecord, medium: Medium) -> bool:
    """Whether the light set is drawn already, so that `cards_of` gives it at once."""
    return wb.has_lately(_key(record, Theme.LIGHT, medium, house_now(wb)))


def _key(record: StudyOnRecord, theme: Theme, medium: Medium, house: HouseStyle) -> tuple[object, ...]:
    return ("cards", record.study.key, theme, medium, house)


def pairs_shown(record: StudyOnRecord) -> tuple[tuple[str, str], ...]:
    """The pairs that have cards of their own, the one in front first: of many, whoever is in front with the
    others as they come.
    """
    every, front = list(combinations(record.study.setups, 2)), front_of_indexes(findings_now(record).indexes)
    if front is not None:
        every.sort(key=lambda pair: (pair != front.pair, front.front not in pair))
    return tuple(every[:MOST_PAIRS])


def pairs_left(record: StudyOnRecord) -> int:
    """How many pairs have none."""
    n = len(record.study.setups)
    return n * (n - 1) // 2 - len(pairs_shown(record))


def cards_from(ground: CardGround, style: Style, house: HouseStyle) -> Iterator[Drawn]:
    """The set that is drawn from this ground."""
    own, write = dressed(style, house), writing(house.form, keep=kept_now(ground.wb, ground.record))
    for each in numbered(_sets(ground, own), own):
        yield replace(each, picture=retyped(picture_written(each.picture, write), house.typeface))


def _sets(ground: CardGround, style: Style) -> Iterator[Set]:
    record, names = ground.record, ground.names
    yield from _of_pairs(headlines, ground, style)
    if any(f.ratio is not None for f in ground.comparison.findings):
        yield from interval_sets(ground.comparison, record, names, style)
    yield from rate_sets(ground.comparison, record, names, style)
    found = price_scene(ground)
    if found is not None:
        yield "price-performance", (price_index_card(found, names, style=style),)
    for cards in (break_evens, flips, beside):
        yield from _of_pairs(cards, ground, style)
    for build in parts_of_builds(ground):
        yield f"parts-{build.setup}", parts_cards(build, names, style=style)
    yield from strip_sets(record, ground.changed, style)
    drawn = replace(ground, names=names.drawn())
    lines, foot = lines_of_method(drawn, pairs_left=pairs_left(record))
    yield "method", method_cards(lines, foot, replace(names, terms=""), style=style)


OfPair = Callable[[CardGround, PairKeys, Style], tuple[Picture, ...]]


def _of_pairs(cards: OfPair, ground: CardGround, style: Style) -> Iterator[Set]:
    """The cards of one kind, pair after pair; a pair of which there is nothing to show has none."""
    for pair in pairs_shown(ground.record):
        pictures = cards(ground, pair, style) if ground.has(pair) else ()
        if pictures:
            yield f"{KINDS[cards]}-{'-'.join(pair)}", pictures


def headlines(ground: CardGround, pair: PairKeys, style: Style) -> tuple[Picture, ...]:
    """For each audience what the record bears."""
    return headline_cards(
        headline_scene(ground, pair), ground.about(pair), foot_of_pair(ground, pair), style=style
    )


def break_evens(ground: CardGround, pair: PairKeys, style: Style) -> tuple[Picture, ...]:
    """Between which prices the two are level."""
    found = prices_scene(ground, pair)
    return () if found is None else break_even_cards(found, ground.names, style=style)


def flips(ground: CardGround, pair: PairKeys, style: Style) -> tuple[Picture, ...]:
    """What turns the first audience's verdict."""
    found = flips_scene(ground, pair)
    return () if found is None else (flip_card(found, foot_of_pair(ground, pair), style=style),)


def beside(ground: CardGround, pair: PairKeys, style: Style) -> tuple[Picture, ...]:
    """Noise, heat and watts."""
    return (beside_card(beside_scene(ground, pair), style=style),)


KINDS: Mapping[OfPair, str] = {
    headlines: "headline", break_evens: "break-even", flips: "flips", beside: "beside",
}  # fmt: skip
