"""The cards of a comparison: the same pictures for a video, to be looked at and taken away."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare import PairChip
from evenhand.desk.pages.compare_choice import Asked, Choice, choose
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.publication.card_pairs import Pairs, pairs_left, pairs_named, pairs_of, pairs_shown
from evenhand.desk.publication.cards import are_drawn, cards_of
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
    drawn yet, `whole` is where it is waited for. `pairs` may be chosen where not all have cards of their own,
    and `left` says how many have none here.
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
    pairs: tuple[PairChip, ...] = ()


def cards_page(
    wb: Workbench, study: str, asked: Asked, medium: str = Medium.WIDE, *, whole: bool = True
) -> CardsPage:
    """Every card of a study for a medium: of the pairs that matter most, those of the chosen one first; of
    the chosen one alone where it is none of them.

    Without `whole`, a set that would have to be drawn first is left for later.
    """
    record = load_study(wb, study)
    choice = choose(record, findings_now(record), asked)
    kind = Medium(medium) if medium in tuple(Medium) else Medium.WIDE
    pairs = pairs_for(record, choice)
    later = bool(record.compared_runs) and not whole and not are_drawn(wb, record, kind, pairs)
    drawn = cards_of(wb, record, medium=kind, pairs=pairs) if record.compared_runs and not later else ()
    left = pairs_left(record, pairs_shown(record, pairs))
    style, frame = for_medium(kind), frame_of(record, "compare")
    return CardsPage(
        frame=frame,
        answer=NOT_YET if later else answer_of(len(drawn)),
        lead="" if drawn or later else frame.strip.next,
        whole=_whole(study, kind, asked) if later else "",
        left=left_words(left) if drawn else "",
        pairs=_chips(record, choice, kind) if choice and left else (),
        back=choice.address if choice else address(study, "compare"),
        width=round(style.width), height=round(style.height or 0),
        media=tuple(_other(study, each, asked.pair, here=each is kind) for each in Medium),
        cards=tuple(card_of(study, one, kind, pairs) for one in own_first(drawn, choice)),
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
    ('One more pair has its headline, break-even and flips here once it is chosen.', '')
    """
    if not pairs:
        return ""
    many = capital(counted(pairs, "more pair has its", "more pairs have their"))
    return f"{many} headline, break-even and flips here once {'it is' if pairs == 1 else 'they are'} chosen."


def pairs_for(record: StudyOnRecord, choice: Choice | None) -> Pairs:
    """The chosen pair where it is none of those that matter most, which there are cards of anyway."""
    own = pairs_named(record, [choice.pair]) if choice else ()
    return () if set(own) <= set(pairs_shown(record)) else own


def _chips(record: StudyOnRecord, choice: Choice, medium: Medium) -> tuple[PairChip, ...]:
    """Every pair, to be chosen."""
    names = names_of(record)
    return tuple(
        PairChip(
            sides=tuple((names.setup(key), names.slot(key).number) for key in pair),
            address=_place(record.study.key, medium, "~".join(pair)),
            here=set(pair) == set(choice.pair),
        )
        for pair in pairs_of(record)
    )


def _whole(study: str, medium: Medium, asked: Asked) -> str:
    """Where the set is waited for until it is drawn."""
    said = {"medium": medium.value, "pair": asked.pair, "whole": "1"}
    return f"{address(study, 'compare', 'cards')}?{urlencode({k: v for k, v in said.items() if v})}"


def _other(study: str, medium: Medium, pair: str, *, here: bool) -> Other:
    return Other(name=CALLED[medium].capitalize(), here=here, address=_place(study, medium, pair))


def _place(study: str, medium: Medium, pair: str) -> str:
    """Where the set for a medium is, that of a pair first."""
    said = {"medium": "" if medium is Medium.WIDE else medium.value, "pair": pair}
    query = urlencode({key: value for key, value in said.items() if value})
    place = address(study, "compare", "cards")
    return f"{place}?{query}" if query else place


def own_first(drawn: tuple[Drawn, ...], choice: Choice | None) -> list[Drawn]:
    """The set in its order, each kind's cards of the chosen pair before those of others."""
    own = set(choice.pair) if choice else set()
    kinds = list(dict.fromkeys(one.name.split("-")[0] for one in drawn))
    return sorted(drawn, key=lambda one: (kinds.index(one.name.split("-")[0]), set(one.pair or ()) != own))


def card_of(study: str, one: Drawn, medium: Medium = Medium.WIDE, pairs: Pairs = ()) -> Card:
    """Where the files of a card are, in the set that has cards of these pairs."""
    name = f"{one.name}{ENDINGS[medium]}"
    place = address(study, "compare", "cards", name)
    query = "".join(f"?{urlencode({'pair': '~'.join(pair)})}" for pair in pairs[:1])
    return Card(
        name=name,
        title=one.picture.title,
        alt=f"{one.picture.title}. {one.picture.description}",
        svg=f"{place}.svg{query}",
        png=f"{place}.png{query}",
        dark_svg=f"{place}-dark.svg{query}",
        dark_png=f"{place}-dark.png{query}",
    )


def drawn_by_name(
    wb: Workbench, record: StudyOnRecord, name: str, theme: Theme, pairs: Pairs = ()
) -> Drawn | None:
    """The card of this name: a wide one, or one of another medium by the ending of its name."""
    for medium in Medium:
        ending = ENDINGS[medium]
        plain = name.removesuffix(ending)
        if plain == name and ending:
            continue
        drawn = cards_of(wb, record, theme=theme, medium=medium, pairs=pairs)
        found = next((each for each in drawn if each.name == plain), None)
        if found is not None:
            return found
    return None


def card_file(wb: Workbench, study: str, name: str, *, ending: str, pair: str = "") -> bytes:
    """A card as a file: `name` as the page lists it, "-tall" or "-square" and then "-dark" after it.

    `pair` is the one that the page was asked for. Raises NotFound.
    """
    record, plain = load_study(wb, study), name.removesuffix("-dark")
    theme = Theme.DARK if name.endswith("-dark") else Theme.LIGHT
    pairs = pairs_for(record, choose(record, findings_now(record), Asked(pair=pair)) if pair else None)
    one = drawn_by_name(wb, record, plain, theme, pairs)
    if one is None:
        raise NotFound(f"no card is called '{name}'", where=study, todo="see the cards of the study")
    return to_png(one.picture, one.theme) if ending == "png" else standalone(one.picture).encode()
