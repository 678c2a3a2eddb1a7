"""What a sentence names: every name of the record in it, replaced by a sign that rules can read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.lexicon import Lexicon
from evenhand.prose.references import Reference, references
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named, read, sign

_LIKE = str.maketrans({"’": "'", "‘": "'", "\u00a0": " ", "\u202f": " ", "\n": " ", "\t": " ", "‑": "-"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Mention:
    """One name in a sentence: what it is of, its key, and where its sign stands."""

    named: Named
    key: str
    at: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """A sentence with signs for names. `starts` and `ends` give each character's place in the source."""

    text: str
    starts: tuple[int, ...]
    ends: tuple[int, ...]
    mentions: tuple[Mention, ...]
    references: tuple[Reference, ...] = ()

    def of(self, named: Named, span: tuple[int, int] | None = None) -> tuple[Mention, ...]:
        """The names of one sort, in a stretch of it."""
        low, high = span or (0, len(self.text))
        return tuple(m for m in self.mentions if m.named is named and low <= m.at < high)

    def keys(self, named: Named, span: tuple[int, int] | None = None) -> tuple[str, ...]:
        """The keys of what is named, each once."""
        return tuple(dict.fromkeys(m.key for m in self.of(named, span)))

    def source(self, start: int, end: int) -> tuple[int, int]:
        """A stretch of it as a stretch of the source, without white space at its ends."""
        while start < end - 1 and self.text[start].isspace():
            start += 1
        while end > start + 1 and self.text[end - 1].isspace():
            end -= 1
        return self.starts[start], self.ends[max(start, end - 1)]


def signed(text: str, lexicon: Lexicon, rules: Rules, *, at: int = 0) -> Signed:
    """A sentence that begins at `at` of its source, with a sign for each name and reference."""
    own = references(text)
    cells = [
        (" " if read(char) else char.translate(_LIKE), at + i, at + i + 1) for i, char in enumerate(text)
    ]
    cells = _replaced(cells, [(r.start, r.end, sign(Named.REFERENCE, i)) for i, r in enumerate(own)])
    for unsaid in ("names.fillers", "names.idioms"):
        cells = _without(cells, rules[unsaid])
    cells = _replaced(cells, [(s, e, sign(a.named, a.number)) for s, e, a in lexicon.found(_text(cells))])
    cells = _replaced(cells, list(_kinds(_text(cells), rules)))
    return Signed(
        text=_text(cells), starts=tuple(start for _, start, _ in cells), ends=tuple(end for *_, end in cells),
        references=own, mentions=tuple(_mentions(cells, lexicon)),
    )  # fmt: skip


Cell = tuple[str, int, int]  # a character, and the stretch of the source that it stands for


def _text(cells: list[Cell]) -> str:
    return "".join(char for char, *_ in cells)


def _replaced(cells: list[Cell], spans: list[tuple[int, int, str]]) -> list[Cell]:
    """The same with one sign for each of these stretches."""
    made: list[Cell] = []
    begin = 0
    for start, end, mark in spans:
        made += cells[begin:start]
        made.append((mark, cells[start][1], cells[end - 1][2]))
        begin = end
    return made + cells[begin:]


def _without(cells: list[Cell], unsaid: re.Pattern[str]) -> list[Cell]:
    """The same without words that say nothing of their own."""
    away = {i for found in unsaid.finditer(_text(cells)) for i in range(*found.span())}
    return [cell for i, cell in enumerate(cells) if i not in away]


def _kinds(text: str, rules: Rules) -> Iterator[tuple[int, int, str]]:
    """Where kinds of part are named."""
    taken: list[tuple[int, int, str]] = []
    for number, pattern in enumerate(rules.kinds.values()):
        for found in pattern.finditer(text):
            if all(found.end() <= s or found.start() >= e for s, e, _ in taken):
                taken.append((found.start(), found.end(), sign(Named.KIND, number)))
    yield from sorted(taken)


def _mentions(cells: list[Cell], lexicon: Lexicon) -> Iterator[Mention]:
    for at, (char, *_) in enumerate(cells):
        known = read(char)
        if known is not None and known[0] is not Named.REFERENCE:
            yield Mention(named=known[0], key=lexicon.keys(known[0])[known[1]], at=at)
