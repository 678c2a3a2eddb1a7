"""Cards of what budgets reach and of upgrade paths, drawn when they are asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.money.courses import furthest
from evenhand.desk.money.grounds import card_stands_on
from evenhand.desk.money.growing import paths_for
from evenhand.desk.money.reach import frontier_of
from evenhand.desk.money.spending import Wish, better_for, further_for
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.paths import lines_of
from evenhand.desk.publication.house import house_now
from evenhand.desk.publication.kept_words import kept_now
from evenhand.errors import BadRecord
from evenhand.publish.figures.growing_cards import courses_card, frontier_card
from evenhand.publish.house_style import dressed
from evenhand.publish.palette import Theme
from evenhand.publish.path_words import card_assumed_words
from evenhand.publish.picture import Picture, standalone, to_png
from evenhand.publish.style import Medium, Style, for_medium
from evenhand.publish.typeface import retyped
from evenhand.publish.written import writing
from evenhand.publish.written_pages import picture_written
from evenhand.store.workbench import Workbench

NOTHING_REACHED = "no budget about this one buys a machine, so there is nothing to be drawn"
NO_PATH = "no path begins with any build, so there is nothing to be drawn"


def reach_card(wb: Workbench, study: str, wish: Wish, *, medium: Medium, theme: Theme = Theme.LIGHT) -> Drawn:
    """What budgets reach. Raises NotFound, and BadRecord where none buys a machine."""
    spent = better_for(wb, study, wish)
    found = frontier_of(spent, further_for(wb, spent, replace(wish, rules=True, budgets=True)))
    if found is None:
        raise BadRecord(NOTHING_REACHED, where=study, todo="ask for a larger budget")
    names, audience = names_of(spent.grounds.record), spent.grounds.here.audience.name
    picture = frontier_card(
        found, names, audience=audience, style=_style(wb, medium, theme),
        days=card_stands_on(spent.grounds.goods),
    )  # fmt: skip
    return _drawn(wb, spent.grounds.record, "reach", picture, medium=medium, theme=theme)


def paths_card(
    wb: Workbench, study: str, audience: str, *, medium: Medium, theme: Theme = Theme.LIGHT
) -> Drawn:
    """How far each build comes. Raises NotFound, and BadRecord where no path begins with any."""
    grounds = (grown := paths_for(wb, study, audience)).grounds
    own = grown.found.of_builds.items()
    best = {build: each for build, courses in own if (each := furthest(courses)) is not None}
    if not best:
        raise BadRecord(NO_PATH, where=study, todo="see on page Money what lacks")
    terms = grounds.terms
    picture = courses_card(
        lines_of(grounds, best), names_of(grounds.record), audience=grounds.here.audience.name,
        months=terms.horizon_months, currency=grounds.goods.currency,
        assumed=(*card_assumed_words(terms, grounds.goods.currency), *card_stands_on(grounds.goods)),
        style=_style(wb, medium, theme),
    )  # fmt: skip
    return _drawn(wb, grounds.record, "paths", picture, medium=medium, theme=theme)


def file_of(one: Drawn, ending: str) -> bytes:
    """A card as a file of this kind, "svg" with its fonts inside or "png"."""
    return to_png(one.picture, one.theme) if ending == "png" else standalone(one.picture).encode()


def every_way() -> Iterator[tuple[Medium, Theme]]:
    """Every way in which a card is drawn."""
    return ((medium, theme) for medium in Medium for theme in (Theme.LIGHT, Theme.DARK))


def _style(wb: Workbench, medium: Medium, theme: Theme) -> Style:
    return dressed(for_medium(medium, theme), house_now(wb))


def _drawn(
    wb: Workbench, record: StudyOnRecord, name: str, picture: Picture, *, medium: Medium, theme: Theme
) -> Drawn:
    house = house_now(wb)
    worn = retyped(picture_written(picture, writing(house.form, keep=kept_now(wb, record))), house.typeface)
    ending = "" if medium is Medium.WIDE else f"-{medium.value}"
    return Drawn(name=f"{name}{ending}{'-dark' if theme is Theme.DARK else ''}", picture=worn, theme=theme)
