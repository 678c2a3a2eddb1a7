"""The cards of a comparison: the same pictures for a video, to be looked at and taken away."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare_choice import Asked, choose
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.publication.cards import are_drawn, cards_of, pairs_left
from evenhand.errors import NotFound
from evenhand.publish.numbers import capital, counted
from evenhand.publish.palette import Theme
from evenhand.publish.picture import standalone, to_png
from evenhand.publish.style import CALLED, Medium, for_medium
from evenhand.store.workbench import Workbench

ENDINGS = {Medium.WIDE: "", Medium.TALL: "-tall", Medium.SQUARE: "-square"}
NOT_YET = "The cards of the study as it stands are being drawn."
NOTHING = "There is no card yet: no run of its tests has landed."


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One card: what it shows, and where its files are."""

    name: str
    title: str
    alt: str
    svg: str
    png: str
    dark_svg: str
    dark_png: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Other:
    """The same set for another medium."""

    name: str
    address: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CardsPage:
    """All cards of a study for one medium, `width` × `height`; `back` leads to the comparison.

    `lead` says what is next where no run has landed, so that there is nothing to draw. While the set is not
    drawn yet, `whole` is where it is waited for. `left` says how many pairs have no cards of their own.
    """

    frame: Frame
    answer: str
    back: str
    width: int
    height: int
    media: tuple[Other, ...]
    cards: tuple[Card, ...]
    lead: str = ""
    whole: str = ""
    left: str = ""


def cards_page(
    wb: Workbench, study: str, asked: Asked, medium: str = Medium.WIDE, *, whole: bool = True
) -> CardsPage:
    """Every card of a study for a medium, those of the chosen pair first.

    Without `whole`, a set that would have to be drawn first is left for later.
    """
    record = load_study(wb, study)
    choice = choose(record, findings_now(record), asked)
    kind = Medium(medium) if medium in tuple(Medium) else Medium.WIDE
    later = bool(record.compared_runs) and not whole and not are_drawn(wb, record, kind)
    drawn = cards_of(wb, record, medium=kind) if record.compared_runs and not later else ()
    style, frame = for_medium(kind), frame_of(record, "compare")
    return CardsPage(
        frame=frame,
        answer=NOT_YET if later else answer_of(len(drawn)),
        lead="" if drawn or later else frame.strip.next,
        whole=_whole(study, kind, asked) if later else "",
        left=left_words(pairs_left(record)) if drawn else "",
        back=choice.address if choice else address(study, "compare"),
        width=round(style.width), height=round(style.height or 0),
        media=tuple(_other(study, each, asked.pair, here=each is kind) for each in Medium),
        cards=tuple(card_of(study, one, kind) for one in own_first(drawn, choice.pair if choice else None)),
    )  # fmt: skip


def answer_of(cards: int) -> str:
    """What the page opens with.

    >>> answer_of(3)
    'Three cards of the study as it stands, light and dark.'
    """
    return (
        f"{capital(counted(cards, 'card'))} of the study as it stands, light and dark." if cards else NOTHING
    )


def left_words(pairs: int) -> str:
    """Of so many pairs there is no headline, break-even and flips.

    >>> left_words(1), left_words(0)
    ('One more pair has no headline, break-even and flips of its own here.', '')
    """
    if not pairs:
        return ""
    many = capital(counted(pairs, "more pair has", "more pairs have"))
    return f"{many} no headline, break-even and flips of {'its' if pairs == 1 else 'their'} own here."


def _whole(study: str, medium: Medium, asked: Asked) -> str:
    """Where the set is waited for until it is drawn."""
    said = {"medium": medium.value, "pair": asked.pair, "whole": "1"}
    return f"{address(study, 'compare', 'cards')}?{urlencode({k: v for k, v in said.items() if v})}"


def _other(study: str, medium: Medium, pair: str, *, here: bool) -> Other:
    said = {"medium": "" if medium is Medium.WIDE else medium.value, "pair": pair}
    query = urlencode({key: value for key, value in said.items() if value})
    place = address(study, "compare", "cards")
    return Other(name=CALLED[medium].capitalize(), here=here, address=f"{place}?{query}" if query else place)


def own_first(drawn: tuple[Drawn, ...], pair: tuple[str, str] | None) -> list[Drawn]:
    """The set in its order, each kind's cards of the chosen pair before those of others."""
    own = f"-{'-'.join(pair)}" if pair else ""
    kinds = list(dict.fromkeys(one.name.split("-")[0] for one in drawn))
    return sorted(drawn, key=lambda one: (kinds.index(one.name.split("-")[0]), own not in one.name))


def card_of(study: str, one: Drawn, medium: Medium = Medium.WIDE) -> Card:
    """Where the files of a card are."""
    name = f"{one.name}{ENDINGS[medium]}"
    place = address(study, "compare", "cards", name)
    return Card(
        name=name,
        title=one.picture.title,
        alt=f"{one.picture.title}. {one.picture.description}",
        svg=f"{place}.svg",
        png=f"{place}.png",
        dark_svg=f"{place}-dark.svg",
        dark_png=f"{place}-dark.png",
    )


def drawn_by_name(wb: Workbench, record: StudyOnRecord, name: str, theme: Theme) -> Drawn | None:
    """The card of this name: a wide one, or one of another medium by the ending of its name."""
    for medium in Medium:
        ending = ENDINGS[medium]
        plain = name.removesuffix(ending)
        if plain == name and ending:
            continue
        drawn = cards_of(wb, record, theme=theme, medium=medium)
        found = next((each for each in drawn if each.name == plain), None)
        if found is not None:
            return found
    return None


def card_file(wb: Workbench, study: str, name: str, *, ending: str) -> bytes:
    """A card as a file: `name` as the page lists it, "-tall" or "-square" and then "-dark" after it."""
    plain, dark = name.removesuffix("-dark"), name.endswith("-dark")
    one = drawn_by_name(wb, load_study(wb, study), plain, Theme.DARK if dark else Theme.LIGHT)
    if one is None:
        raise NotFound(f"no card is called '{name}'", where=study, todo="see the cards of the study")
    return to_png(one.picture, one.theme) if ending == "png" else standalone(one.picture).encode()
