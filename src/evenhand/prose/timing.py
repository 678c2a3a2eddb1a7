"""How long a script takes to speak, and when each chapter begins."""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenhand.prose.quotables import Quotables
from evenhand.prose.rendering import filled, unmarked
from evenhand.prose.script import Script, Sort

WORDS_A_MINUTE = 150  # what a person speaks who is to be understood; the reviewer says another
INTRODUCTION = "Introduction"  # what is spoken before the first chapter
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d[\d.,]*|[%°€$£]")
_DIGITS_A_WORD = 2  # "143" is spoken in about as many words as pairs of digits, and one for the hundred


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterTime:
    """A chapter: its title, when it begins in seconds, how many spoken words it has.

    What is spoken before the first heading is the introduction; a script without headings has no title.
    """

    title: str
    start_s: float
    words: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CueTime:
    """A card that is shown from here on, by what the script calls it, and when in seconds."""

    card: str
    start_s: float
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """Chapters and cards with their times, all words, and the length of the whole in seconds."""

    chapters: tuple[ChapterTime, ...]
    cues: tuple[CueTime, ...]
    words: int
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """A script as it is spoken: with its figures as they are told, and when everything is said."""

    script: Script
    figures: Quotables
    times: Timed


def timed(script: Script, figures: Quotables, *, words_a_minute: int = WORDS_A_MINUTE) -> Timed:
    """When everything is said at this pace. Headings are shown, not spoken."""
    pace = 60 / max(words_a_minute, 1)
    chapters: list[ChapterTime] = []
    cues: list[CueTime] = []
    spoken, title, begun = 0, "", 0
    for piece in script.pieces:
        if piece.sort is Sort.HEADING and piece.level == 2:
            if spoken > begun or title:
                called = title or INTRODUCTION
                chapters.append(ChapterTime(title=called, start_s=begun * pace, words=spoken - begun))
            title, begun = " ".join(unmarked(filled(piece.text, figures)).split()), spoken
        elif piece.sort is Sort.CUE:
            cues.append(CueTime(card=piece.text, start_s=spoken * pace, line=piece.place.line))
        elif piece.sort is Sort.SENTENCE:
            spoken += spoken_words(filled(piece.text, figures))
    chapters.append(ChapterTime(title=title, start_s=begun * pace, words=spoken - begun))
    return Timed(chapters=tuple(chapters), cues=tuple(cues), words=spoken, seconds=spoken * pace)


def spoken_words(text: str) -> int:
    """How many words a text takes to speak; digits are spoken too.

    >>> spoken_words("Plover draws 301 W."), spoken_words("")
    (5, 0)
    """
    return sum(_length(found[0]) for found in _WORD.finditer(unmarked(text)))


def _length(word: str) -> int:
    digits = sum(char.isdigit() for char in word)
    return max(1, -(-digits // _DIGITS_A_WORD) + ("." in word.rstrip("."))) if digits else 1


def time_code(seconds: float) -> str:
    """Minutes and seconds, hours before them where there are any.

    >>> time_code(0), time_code(75.4), time_code(3700)
    ('0:00', '1:15', '1:01:40')
    """
    whole = int(seconds)
    hours, minutes = whole // 3600, whole // 60 % 60
    return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"
