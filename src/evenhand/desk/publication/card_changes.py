"""Cards of an edition that look otherwise since: what on them is another, and when the script shows them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from evenhand.desk.publication.shot_list import answering
from evenhand.prose.timing import Spoken, time_code
from evenhand.publish.style import Medium

_SENTENCE_ENDS = re.compile(r"(?<=[.;:!?])\s+")
_LEADS_ON = " :;"  # at the end of a piece: what it leads to is left out
LOOKS_ALONE = "in the same words"


@dataclass(frozen=True, slots=True, kw_only=True)
class CardNow:
    """A card as it would go out today: SHA-256 of its drawing, its title and its description."""

    digest: str
    title: str
    alt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedCard:
    """A card that would look otherwise today: its title then and now, None where it is no more.

    `was` and `now` are what its title says otherwise, or the first of its description, "" where it is only
    drawn otherwise; `shown_s` when the edition's script shows it, in seconds.
    """

    name: str
    before: str
    after: str | None
    was: str = ""
    now: str = ""
    shown_s: tuple[float, ...] = ()

    @property
    def shown(self) -> tuple[str, ...]:
        """The time codes at which the script shows it."""
        return tuple(map(time_code, self.shown_s))

    @property
    def change(self) -> str:
        """What is another on it."""
        if self.after is None:
            return "no more"
        return f"{self.was or 'not there'} → {self.now or 'no more'}" if self.was != self.now else LOOKS_ALONE

    @property
    def words(self) -> str:
        """The card in a line: its name, when it is shown, and what on it is another."""
        at = f" (shown at {', '.join(self.shown)})" if self.shown else ""
        return f"{self.name}{at}: {self.change}"


def cards_changed(
    rows: Sequence[Mapping[str, Any]], digests: Mapping[str, str], now: Mapping[str, CardNow],
    spoken: Spoken | None,
) -> Iterator[TouchedCard]:  # fmt: skip
    """The wide cards of an edition that are others now.

    `rows` are what its list says of them, `digests` those of its drawings by file, `now` the cards by name;
    `spoken` is the script of the edition.
    """
    cues = spoken.times.cues if spoken else ()
    wide = [row for row in rows if row["medium"] == Medium.WIDE]
    names = tuple(row["name"] for row in wide)
    for row in wide:
        today = now.get(row["name"])
        if today is not None and today.digest == digests[row["file"]]:
            continue
        was, is_now = (row["title"], "") if today is None else first_apart(row, today)
        yield TouchedCard(
            name=row["name"], before=row["title"], after=None if today is None else today.title,
            was=was, now=is_now,
            shown_s=tuple(cue.start_s for cue in cues if row["name"] in answering(cue.card, names)),
        )  # fmt: skip


def first_apart(row: Mapping[str, Any], today: CardNow) -> tuple[str, str]:
    """What a card says otherwise: in its title, else the first of its description; "" twice where nothing.

    >>> now = CardNow(digest="", title="Wren leads. Cheap.", alt="")
    >>> first_apart({"title": "Plover leads. Cheap.", "alt": ""}, now)
    ('Plover leads.', 'Wren leads.')
    >>> dearer = CardNow(digest="", title="", alt="Dunlin up to 980 dl: level")
    >>> first_apart({"title": "", "alt": "Dunlin up to 971 dl: level"}, dearer)
    ('Dunlin up to 971 dl', 'Dunlin up to 980 dl')
    """
    if row["title"] != today.title:
        was, now = (_SENTENCE_ENDS.split(each) for each in (row["title"], today.title))
        sides = (" ".join(e for e in was if e not in now), " ".join(e for e in now if e not in was))
        return sides[0].rstrip(_LEADS_ON), sides[1].rstrip(_LEADS_ON)
    for one, other in zip_longest(*map(_SENTENCE_ENDS.split, (row["alt"], today.alt)), fillvalue=""):
        if one != other:
            return one.rstrip(_LEADS_ON), other.rstrip(_LEADS_ON)
    return "", ""
