"""The noun of what a sentence check objects to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from evenhand.prose.script import Place
from evenhand.verdicts.claims import Kind


class Rule(StrEnum):
    """What a sentence goes against."""

    REFERENCE = "reference"
    BARE_NUMBER = "bare number"
    CONTRARY_NUMBER = "contrary number"
    CLAIM = "claim"
    EVERYONE = "audience not on record"
    UNDATED = "undated price"
    UNDEFINED = "undefined metric"
    UNDISCLOSED = "undisclosed part"
    NOT_ON_RECORD = "disclosure not on record"
    UNREAD = "not read"


@dataclass(frozen=True, slots=True, kw_only=True)
class Objection:
    """One thing that a sentence says and the record does not bear.

    `taken_for` says what the sentence was read as; `would_stand` is what may be said in its place, "" where
    there is nothing. `kind` is what the ladder was asked, None where it was not.
    """

    rule: Rule
    place: Place
    excerpt: str
    reason: str
    taken_for: str = ""
    would_stand: str = ""
    kind: Kind | None = None
