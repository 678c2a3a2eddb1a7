"""The cards of a comparison: the same pictures for a video, to be looked at and taken away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.charting import Drawn, drawn_names, interval_sets, numbered, rate_sets, strip_sets
from evenhand.desk.findings_now import comparison_now
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare_choice import Asked, choose
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.terms import changed_terms
from evenhand.errors import NotFound
from evenhand.publish.numbers import capital, counted
from evenhand.publish.palette import Theme
from evenhand.publish.picture import standalone, to_png
from evenhand.publish.style import card
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One card: what it shows, and where its files are."""

    name: str
    title: str
    svg: str
    png: str
    dark_svg: str
    dark_png: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardsPage:
    """All cards of a study; `back` leads to the comparison."""

    frame: Frame
    answer: str
    back: str
    cards: tuple[Card, ...]


def cards_page(wb: Workbench, study: str, asked: Asked) -> CardsPage:
    """Every card of a study, those of the chosen pair first."""
    record = load_study(wb, study)
    choice = choose(record, comparison_now(record), asked)
    own = f"intervals-{'-'.join(choice.pair)}" if choice else ""
    drawn = sorted(cards_of(wb, record, Theme.LIGHT), key=lambda one: not one.name.startswith(own))
    return CardsPage(
        frame=frame_of(record, "compare"),
        answer=f"{capital(counted(len(drawn), 'card'))} of the findings as they stand, light and dark.",
        back=choice.address if choice else address(study, "compare"),
        cards=tuple(card_of(study, one) for one in drawn),
    )


def card_of(study: str, one: Drawn) -> Card:
    """Where the files of a card are."""
    place = address(study, "compare", "cards", one.name)
    return Card(
        name=one.name,
        title=one.picture.title,
        svg=f"{place}.svg",
        png=f"{place}.png",
        dark_svg=f"{place}-dark.svg",
        dark_png=f"{place}-dark.png",
    )


def cards_of(wb: Workbench, record: StudyOnRecord, theme: Theme) -> tuple[Drawn, ...]:
    """Intervals of each pair, rates, and the runs of each test, as cards."""
    return wb.lately(("cards", record.study.key, theme), lambda: tuple(drawn_cards(wb, record, theme)))


def drawn_cards(wb: Workbench, record: StudyOnRecord, theme: Theme) -> Iterator[Drawn]:
    """The cards, drawn."""
    comparison, changed, style = comparison_now(record), changed_terms(wb, record), card(theme)
    names = drawn_names(record, changed)
    if any(f.ratio is not None for f in comparison.findings):
        yield from numbered(interval_sets(comparison, record, names, style), style)
    yield from numbered(rate_sets(comparison, record, names, style), style)
    yield from numbered(strip_sets(record, changed, style), style)


def card_file(wb: Workbench, study: str, name: str, *, ending: str) -> bytes:
    """A card as a file: `name` as the page lists it, "-dark" after it for the dark ground."""
    plain, dark = name.removesuffix("-dark"), name.endswith("-dark")
    record = load_study(wb, study)
    drawn = cards_of(wb, record, Theme.DARK if dark else Theme.LIGHT)
    one = next((each for each in drawn if each.name == plain), None)
    if one is None:
        raise NotFound(f"no card is called '{name}'", where=study, todo="see the cards of the study")
    return to_png(one.picture, one.theme) if ending == "png" else standalone(one.picture).encode()
