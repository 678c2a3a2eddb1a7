"""The noun of what a sentence check objects to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from evenhand.prose.script import Place
from evenhand.publish.numbers import capital
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
    CUE = "card not there"


ADVISED = (Rule.REFERENCE, Rule.CUE)  # names that mean nothing: what is told beside them is no sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Objection:
    """One thing that a sentence says and the record does not bear.

    `taken_for` says what the sentence was read as; `would_stand` is what may be said in its place (of a name
    that means nothing: which ones are near), "" where there is nothing. `kind` is what the ladder was asked,
    None where it was not.
    """

    rule: Rule
    place: Place
    excerpt: str
    reason: str
    taken_for: str = ""
    would_stand: str = ""
    kind: Kind | None = None

    @property
    def instead(self) -> str:
        """What may be said or done in its place, as a sentence; "" where there is nothing."""
        if self.rule in ADVISED and self.would_stand:
            return f"{capital(self.would_stand)}{'' if self.would_stand[-1] in '?.' else '.'}"
        return f"What would stand: “{self.would_stand}”" if self.would_stand else ""
