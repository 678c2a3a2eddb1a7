"""The nouns of the article: everything that its page shows, in finished words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from evenhand.editions.article_tuning import TunedPart
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import capital, counted
from evenhand.publish.picture import Picture
from evenhand.records.publications import OWN_FORM, Form


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A picture with the sentence over it."""

    heading: str
    about: str
    picture: Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class RowShown:
    """A finding or an index: its picture on the common scale, and its words."""

    name: str
    small: str
    picture: Picture
    state: str
    interval: str
    note: str
    sort: str
    slot: int | None
    sums: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PairShown:
    """All tests of a pair, and its indexes, on scales with their heads."""

    heading: str
    about: str
    tests_head: Picture
    tests: tuple[RowShown, ...]
    index_head: Picture | None
    indexes: tuple[RowShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RateTable:
    """What each machine reached: the machines' names, and for each test and number a row of words."""

    machines: tuple[str, ...]
    rows: tuple[tuple[str, str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flip:
    """A change that would turn a verdict, in words."""

    change: str
    effect: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPrice:
    """A field for a reader's own price of a setup; `price` is today's, "" where none is known."""

    setup: str
    name: str
    slot: int
    price: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnShare:
    """A slider for a reader's own weight of a group or test: per cent as a form has it, and as it is read."""

    key: str
    name: str
    value: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTerms:
    """What a reader may put in for one audience.

    `ground` is what the page judges by but for the measurements, which are the article's own.
    """

    currency: str
    prices: tuple[OwnPrice, ...]
    shares: tuple[OwnShare, ...]
    ground: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class ForWhom:
    """One audience: what it weighs, how each pair stands for it, what would flip that, and its own terms."""

    key: str
    name: str
    weighs: str
    said: tuple[str, ...]
    figures: tuple[Figure, ...] = ()
    flips: tuple[Flip, ...] = ()
    own: OwnTerms | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A sentence that stands, at its permanent address."""

    address: str
    words: str
    rung: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormerClaim:
    """A sentence of an earlier edition under an address that this one has no sentence under.

    `edition` is what that one is called and `at` where it says it; `now` is the address under which this
    edition says what it was about, "" where nothing stands of it.
    """

    address: str
    words: str
    edition: str
    at: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """A sentence that the record does not bear, why, and what would stand."""

    words: str
    why: str
    instead: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkShown:
    """A link that goes out: what it is called, where it leads, and whether it pays the reviewer."""

    name: str
    to: str
    paid: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """A part of a build: how the reviewer stands to it and what it cost, "" where nothing is said."""

    kind: str
    name: str
    disclosed: str
    links: tuple[LinkShown, ...] = ()
    cost: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A build with its parts, its price with its day in words, and what of it is not stock, in sentences."""

    name: str
    slot: int
    price: str
    parts: tuple[PartRow, ...]
    state: tuple[str, ...] = ()

    @property
    def priced(self) -> bool:
        """Whether a price of any of its parts is on record."""
        return any(part.cost for part in self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """A run: what it is of, where it stands, its number, and the files that it was worked out from."""

    label: str
    test: str
    setup: str
    state: str
    number: str
    files: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """A number and what it means."""

    label: str
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """An edition after the first: its number, day, why it is there, turned verdicts, what moved in print.

    `at` is the page of that edition, which tells what moved then; "" for the newest, which tells it itself.
    `in_video` is what the last edition's video says otherwise, with its time codes.
    """

    number: int
    day: str
    reason: str
    moved: tuple[str, ...]
    turned: tuple[str, ...] = ()
    at: str = ""
    in_video: tuple[str, ...] = ()

    @property
    def verdicts(self) -> str:
        """Whether any verdict turned, in a sentence."""
        n = len(self.turned)
        return (
            f"{capital(counted(n, 'verdict'))} turned{'.' if self.at else ':'}" if n else "No verdict turned."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSet:
    """The cards for one medium: what it is in words, and of each card its title and where it lies."""

    medium: str
    cards: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Article:
    """Everything that the page shows, in its order, in finished words.

    `digest` is that of what the edition says, `data_digest` that of its whole bundle, and `place` where it is
    published, "" where nothing is told. `form` is how the page writes numbers and days, and reads those of
    its readers, `keep` are words of people in which they stay. `measured` are the pairs that a reader's own
    terms are judged by, `watts` those at the wall by test and setup. `behind_causes` are runs of setups that
    are not compared, by which parts are told apart. `trials` is where the table of all trials lies.
    """

    key: str
    title: str
    question: str
    answer: str
    terms: str
    number: int
    at: datetime
    digest: str
    data_digest: str
    code_version: str
    by: str
    licence: str
    for_whom: tuple[ForWhom, ...]
    pairs: tuple[PairShown, ...]
    rates: RateTable
    beside: tuple[tuple[str, tuple[str, ...]], ...]
    claims: tuple[Claim, ...]
    refusals: tuple[Refusal, ...]
    machines: tuple[Machine, ...]
    method: tuple[str, ...]
    meanings: tuple[Meaning, ...]
    caveats: tuple[str, ...]
    runs: tuple[RunRow, ...]
    behind_causes: tuple[RunRow, ...] = ()
    form: Form = OWN_FORM
    keep: tuple[str, ...] = ()
    measured: Sequence[Mapping[str, Any]] = ()
    watts: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    corrections: tuple[Correction, ...] = ()
    cards: tuple[CardSet, ...] = ()
    prose: str = ""
    bundle: str = ""
    earlier: tuple[tuple[str, str], ...] = ()
    former: tuple[FormerClaim, ...] = ()
    place: str = ""
    tuned: tuple[TunedPart, ...] = ()
    trials: str = ""

    @property
    def day(self) -> str:
        """The day it went out, in words."""
        return day_words(self.at.date())
