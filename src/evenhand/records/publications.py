"""What goes out: scripts, disclosures about parts, and publications that never change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum


class How(StrEnum):
    """How the reviewer came by a part, or is paid beside it."""

    BOUGHT = "bought"
    LOAN = "loan"
    GIFT = "gift"
    PAYMENT = "payment"
    LINK = "link"

    @property
    def meaning(self) -> str:
        """What it means, in a few words."""
        return _MEANINGS[self]


_MEANINGS: Mapping[How, str] = {
    How.BOUGHT: "paid for by the reviewer",
    How.LOAN: "lent, to be given back",
    How.GIFT: "given, and kept",
    How.PAYMENT: "money or another favour for showing it",
    How.LINK: "a link that pays the reviewer when somebody buys",
}


class Numbers(StrEnum):
    """How numbers are written."""

    POINT = "point"
    COMMA = "comma"
    SPACED = "spaced"  # decimals by comma, thousands apart (ISO 80000-1 takes either mark)

    @property
    def example(self) -> str:
        """A number that is written so."""
        return {"point": "1,012.5", "comma": "1.012,5", "spaced": "1\u202f012,5"}[self.value]


class Days(StrEnum):
    """How days are written."""

    WORDS = "words"
    MONTH_FIRST = "month-first"
    ISO = "iso"  # ISO 8601

    @property
    def example(self) -> str:
        """A day that is written so."""
        return {"words": "4 May 2031", "month-first": "May 4, 2031", "iso": "2031-05-04"}[self.value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How numbers and days are written."""

    numbers: Numbers = Numbers.POINT
    days: Days = Days.WORDS

    @property
    def is_own(self) -> bool:
        """Whether it is how this program writes them, so that nothing is to be done."""
        return self == Form()


OWN_FORM = Form()
"""As this program writes them."""


PAYS = "pays the reviewer"
"""What is said beside a link that does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disclosure:
    """How the reviewer stands to a part: `by` says who lent, gave or pays.

    `stands` False takes the earlier one of this part and kind back. `id` is 0 until it is on record.
    """

    part: str
    how: How
    at: datetime
    by: str = ""
    note: str = ""
    stands: bool = True
    id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link that goes out: what it is called, where it leads, and of which part, "" for none.

    `paid` says that the reviewer earns when somebody buys through it.
    """

    name: str
    to: str
    part: str = ""
    paid: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Imprint:
    """Who publishes, and how: the same for everything that goes out of a workbench; the last one stands.

    `licence` is an SPDX identifier of the data, "" where nothing is said. `place` is where editions are
    published. `accent` is a colour ("#1c7b98"), `mark` and `typeface` the SHA-256 of an image and a font file
    that are kept as originals. `words_a_minute` is how fast the reviewer speaks, `numbers` and `days` how
    whatever goes out writes them.
    """

    name: str = ""
    licence: str = ""
    place: str = ""
    accent: str = ""
    mark: str | None = None
    typeface: str | None = None
    words_a_minute: int = 150
    links: tuple[Link, ...] = ()
    numbers: Numbers = Numbers.POINT
    days: Days = Days.WORDS

    @property
    def form(self) -> Form:
        """How whatever goes out writes numbers and days."""
        return Form(numbers=self.numbers, days=self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """One saved state of the script of a study, in Markdown; the last one stands."""

    study: str
    text: str
    at: datetime
    by: str = ""
    id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """One edition of a study, frozen: what it says, and the code and inputs that it comes from.

    `number` counts the editions of a study from 1; `reason` says why there is another than the first.
    `body` is the snapshot as JSON text, `files` the path of each file that went out with the SHA-256 of its
    bytes, which are kept as originals are. `id` is 0 until it is on record.
    """

    study: str
    number: int
    at: datetime
    code_version: str
    input_hash: str
    body: str
    by: str = ""
    reason: str = ""
    files: Mapping[str, str] = field(default_factory=dict)
    id: int = 0
