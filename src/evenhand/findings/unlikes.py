"""One thing in which two setups differ, and what that difference is to the question."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Aspect(StrEnum):
    """What kind of thing is held against each other."""

    PART = "part"
    STATE = "state"
    STAMP = "stamp"
    ROOM = "room"
    BOOTS = "boots"
    ORDER = "order"
    DAYS = "days"


class Mark(StrEnum):
    """What a difference is: what was asked, something beside it, or what the record does not tell."""

    QUESTION = "question"
    ACCIDENT = "accident"
    UNREAD = "could not be read"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlike:
    """One thing by its name, as both sides say it: keys of parts, or the words of stamps.

    `words` say why it is marked so; `lacking` are the setups that say nothing of it, or more than one thing.
    `log_ratio` is the log of a's number over b's where both tell one in the same quantity. `tests` are those
    that it holds of, where not all.
    """

    aspect: Aspect
    name: str
    a: tuple[str, ...]
    b: tuple[str, ...]
    mark: Mark
    words: str = ""
    lacking: tuple[str, ...] = ()
    log_ratio: float | None = None
    tests: tuple[str, ...] = ()
