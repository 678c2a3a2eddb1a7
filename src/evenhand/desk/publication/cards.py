"""The whole set of a study's cards, in the order in which a video would show them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain

from evenhand.desk.comparison.charting import Drawn, Set, interval_sets, numbered, rate_sets, strip_sets
from evenhand.desk.comparison.pair_names import PairKeys, pair_word
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.card_ground import CardGround, ground_for
from evenhand.desk.publication.card_method import lines_of_method
from evenhand.desk.publication.card_pairs import (
    BESIDE,
    BREAK_EVEN,
    FLIPS,
    HEADLINE,
    Pairs,
    pairs_left,
    pairs_shown,
)
from evenhand.desk.publication.card_parts import parts_of_builds
from evenhand.desk.publication.card_scenes import (
    beside_scene,
    flips_scene,
    foot_of_pair,
    headline_scene,
    history_scene,
    owning_scene,
    price_scene,
    prices_scene,
)
from evenhand.desk.publication.card_tuning import tuning_sets
from evenhand.desk.publication.house import house_now
from evenhand.desk.publication.kept_words import kept_now
from evenhand.publish.figures.beside import beside_card
from evenhand.publish.figures.break_even import break_even_cards
from evenhand.publish.figures.flip_cards import flip_card
from evenhand.publish.figures.headline import headline_cards
from evenhand.publish.figures.method_card import method_cards
from evenhand.publish.figures.owning_card import owning_cards
from evenhand.publish.figures.parts_card import parts_cards
from evenhand.publish.figures.price_card import price_history_card
from evenhand.publish.figures.price_index import price_index_card
from evenhand.publish.house_style import HouseStyle, dressed
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.publish.style import Medium, Style, for_medium
from evenhand.publish.typeface import retyped
from evenhand.publish.written import writing
from evenhand.publish.written_pages import picture_written
from evenhand.store.workbench import Workbench

METHOD = "method"


def cards_of(
    wb: Workbench,
    record: StudyOnRecord,
    *,
    theme: Theme = Theme.LIGHT,
    medium: Medium = Medium.WIDE,
    house: HouseStyle | None = None,
    pairs: Pairs = (),
) -> tuple[Drawn, ...]:
    """Headlines, intervals, rates, money, flips, evidence beside, parts, runs, and how it was measured.

    They wear the accent and the mark of whoever publishes where no other house style is given. `pairs` are
    those of which there are cards of pairs, the ones that matter most where none is given.
    """
    house = house_now(wb) if house is None else house
    style, shown = for_medium(medium, theme), pairs_shown(record, pairs)
    key = _key(record, (theme, medium, house), shown)
    return wb.lately(key, lambda: tuple(cards_from(ground_for(wb, record, shown), style, house)))


def are_drawn(wb: Workbench, record: StudyOnRecord, medium: Medium, pairs: Pairs = ()) -> bool:
    """Whether the light set is drawn already, so that `cards_of` gives it at once."""
    look = (Theme.LIGHT, medium, house_now(wb))
    return wb.has_lately(_key(record, look, pairs_shown(record, pairs)))


def _key(record: StudyOnRecord, look: tuple[object, ...], shown: Pairs) -> tuple[object, ...]:
    return ("cards", record.study.key, *look, shown)


def cards_of_edition(ground: CardGround, medium: Medium, house: HouseStyle) -> Iterator[Drawn]:
    """The light set as an edition keeps it, of this ground.

    What was drawn lately, as for the cues of a script, is taken again: but for the cards of the method, which
    tell what this edition says of its script, nothing on them hangs on that.
    """
    wb, record, style = ground.wb, ground.record, for_medium(medium)
    if not are_drawn(wb, record, medium, ground.pairs):
        yield from cards_from(ground, style, house)
        return
    drawn = cards_of(wb, record, medium=medium, house=house, pairs=ground.pairs)
    yield from (each for each in drawn if each.name.partition("-")[0] != METHOD)
    yield from _worn(_method_set(ground, dressed(style, house)), ground, style, house)


def cards_from(ground: CardGround, style: Style, house: HouseStyle) -> Iterator[Drawn]:
    """The set that is drawn from this ground."""
    own = dressed(style, house)
    yield from _worn(chain(_sets(ground, own), _method_set(ground, own)), ground, style, house)


def _worn(sets: Iterable[Set], ground: CardGround, style: Style, house: HouseStyle) -> Iterator[Drawn]:
    """Sets under their names, as the house wears them."""
    own, write = dressed(style, house), writing(house.form, keep=kept_now(ground.wb, ground.record))
    for each in numbered(sets, own):
        yield replace(each, picture=retyped(picture_written(each.picture, write), house.typeface))


def _sets(ground: CardGround, style: Style) -> Iterator[Set]:
    record, names = ground.record, ground.names
    yield from _of_pairs(headlines, ground, style)
    if any(f.ratio is not None for f in ground.comparison.findings):
        yield from interval_sets(ground.comparison, record, names, style)
    yield from rate_sets(ground.comparison, record, names, style)
    found = price_scene(ground)
    if found is not None:
        yield Set("price-performance", (price_index_card(found, names, style=style),))
    over_time = history_scene(ground)
    if over_time is not None:  # of prices the conditions of the runs say nothing
        card = price_history_card(over_time, replace(names, terms=""), style=style)
        yield Set("price-history", (card,))
    owning = owning_scene(ground)
    if owning is not None:
        yield Set("owning", owning_cards(owning, names, style=style))
    for cards in (break_evens, flips, beside):
        yield from _of_pairs(cards, ground, style)
    yield from tuning_sets(ground, style)
    for build in parts_of_builds(ground):
        yield Set(f"parts-{build.setup}", parts_cards(build, names, style=style))
    yield from strip_sets(record, ground.changed, style)


def _method_set(ground: CardGround, style: Style) -> Iterator[Set]:
    """How it was measured, and what is said of the script."""
    record, names = ground.record, ground.names
    drawn = replace(ground, names=names.drawn())
    lines, foot = lines_of_method(drawn, pairs_left=pairs_left(record, ground.pairs))
    yield Set(METHOD, method_cards(lines, foot, replace(names, terms=""), style=style))


OfPair = Callable[[CardGround, PairKeys, Style], tuple[Picture, ...]]


def _of_pairs(cards: OfPair, ground: CardGround, style: Style) -> Iterator[Set]:
    """The cards of one kind, pair after pair; a pair of which there is nothing to show has none."""
    for pair in ground.pairs:
        pictures = cards(ground, pair, style) if ground.has(pair) else ()
        if pictures:
            yield Set(f"{NAMED[cards]}-{pair_word(pair, ground.record.study.setups)}", pictures, pair)


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


NAMED: Mapping[OfPair, str] = {
    headlines: HEADLINE, break_evens: BREAK_EVEN, flips: FLIPS, beside: BESIDE,
}  # fmt: skip
