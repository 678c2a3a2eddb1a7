"""The words of a question that nothing on record answers to."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.mentions import Signed
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named, read

Span = tuple[int, int]
NOT_OF_WORDS = ("whom", "anything")  # rules that are held against stretches, whatever words are in them
MOST = 5  # runs of words that are told
_WORD = re.compile(r"[^\W_]+")
_JOINED = re.compile(r"[\s/&+-]*")  # what may stand between words that are told as one


def unheard(
    sentence: Signed, text: str, rules: Rules, *, heard: tuple[Span, ...], kinds: bool
) -> tuple[str, ...]:
    """Rows of words of `text` that name nothing of the record and that no rule reads, as they were written.

    `heard` are stretches of the sentence that were read already, places in its signed form; `kinds` says that
    a kind of part is no answerable matter here, and counts as such a word.
    """
    taken = _taken(sentence.text, rules, heard)
    words = [span for span in _words(sentence.text, kinds=kinds) if not taken & {*range(*span)}]
    rows = _rows(text, [sentence.source(*span) for span in words])
    return tuple(dict.fromkeys(text[start:end] for start, end in rows))[:MOST]


def _taken(text: str, rules: Rules, heard: tuple[Span, ...]) -> set[int]:
    """The places that are read by some rule."""
    matters = [rules[f"asking.{name}"] for name in rules.plain["asking"] if name not in NOT_OF_WORDS]
    own = [*matters, *(metric.pattern for metric in rules.metrics)]
    spans = [found.span() for pattern in own for found in pattern.finditer(text)]
    return {at for span in (*spans, *heard) for at in range(*span)}


def _words(text: str, *, kinds: bool) -> Iterator[Span]:
    """Where words stand that are no names; kinds of part among them where they count."""
    plain = "".join(" " if _is_name(char, kinds=kinds) else char for char in text)
    yield from (found.span() for found in _WORD.finditer(plain))


def _is_name(char: str, *, kinds: bool) -> bool:
    known = read(char)
    return known is not None and not (kinds and known[0] is Named.KIND)


def _rows(text: str, words: list[Span]) -> Iterator[Span]:
    """Words right beside each other as one."""
    row: Span | None = None
    for start, end in words:
        if row is not None and _JOINED.fullmatch(text, row[1], start):
            row = row[0], end
        else:
            if row is not None:
                yield row
            row = start, end
    if row is not None:
        yield row
