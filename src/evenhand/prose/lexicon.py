"""Every way in which a script may name what is on record: setups, tests, groups, audiences, parts."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from evenhand.prose.ground import Ground
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named

_TOKEN = re.compile(r"\w+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Alias:
    """A pattern for one name; `capital` asks for a capital letter, for words that mean something else."""

    pattern: str
    named: Named
    number: int
    capital: bool = False
    length: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lexicon:
    """All names of a study, longest first. Numbers count from 0 in the order of these keys."""

    setups: tuple[str, ...]
    tests: tuple[str, ...]
    groups: tuple[str, ...]
    audiences: tuple[str, ...]
    parts: tuple[str, ...]
    kinds: tuple[str, ...]
    aliases: tuple[Alias, ...]
    scan: re.Pattern[str]

    def keys(self, named: Named) -> tuple[str, ...]:
        """The keys of one sort."""
        return {
            Named.SETUP: self.setups, Named.TEST: self.tests, Named.GROUP: self.groups,
            Named.AUDIENCE: self.audiences, Named.PART: self.parts, Named.KIND: self.kinds,
        }.get(named, ())  # fmt: skip

    def found(self, text: str) -> Iterator[tuple[int, int, Alias]]:
        """Where the text names something: start, end, and by which alias."""
        for match in self.scan.finditer(text):
            alias = self.aliases[int((match.lastgroup or "a0")[1:])]
            if not alias.capital or match[0][:1].isupper():
                yield match.start(), match.end(), alias


def however_written(names: Lexicon, named: Named) -> Lexicon:
    """The same, in which names of one sort need no capital letter."""
    free = tuple(replace(a, capital=False) if a.named is named else a for a in names.aliases)
    return replace(names, aliases=free)


class _Test(NamedTuple):
    """A test as it may be spoken of."""

    key: str
    name: str
    scene: str


class _Called(NamedTuple):
    """All that the names of a study come from: keys with names, and setups by the words of addresses."""

    setups: tuple[tuple[str, str], ...]
    short: tuple[tuple[str, str], ...]
    tests: tuple[_Test, ...]
    groups: tuple[tuple[str, str], ...]
    audiences: tuple[tuple[str, str], ...]
    parts: tuple[tuple[str, str], ...]


def lexicon(ground: Ground, rules: Rules) -> Lexicon:
    """The names of a study, worked out once while all is called the same.

    A name that two things share belongs to the first.
    """
    names = ground.names
    called = _Called(
        setups=tuple((key, names.setup(key)) for key in ground.setups),
        short=tuple(ground.quotables.called.items()),
        tests=tuple(_Test(test.key, test.name, test.scene) for test in ground.tests),
        groups=tuple((group, names.group(group)) for group in ground.groups),
        audiences=tuple(ground.audiences.items()),
        parts=tuple((part.key, part.name) for part in ground.parts),
    )
    return _lexicon(called, rules)


@lru_cache(maxsize=8)
def _lexicon(called: _Called, rules: Rules) -> Lexicon:
    every = [
        *_setups(called), *_tests(called.tests, rules), *_groups(called.groups, rules),
        *_audiences(called.audiences, rules), *_parts([name for _, name in called.parts]),
    ]  # fmt: skip
    first: dict[str, Alias] = {}
    for alias in every:
        first.setdefault(alias.pattern.casefold(), alias)
    aliases = tuple(sorted(first.values(), key=lambda a: -a.length))
    whole = "|".join(rf"(?P<a{i}>(?<!\w){a.pattern}(?!\w))" for i, a in enumerate(aliases)) or "(?!)"
    return Lexicon(
        setups=_first(called.setups), tests=tuple(test.key for test in called.tests),
        groups=_first(called.groups), audiences=_first(called.audiences), parts=_first(called.parts),
        kinds=tuple(rules.kinds), aliases=aliases, scan=re.compile(whole, re.IGNORECASE),
    )  # fmt: skip


def _first(named: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    return tuple(key for key, _ in named)


def _alias(words: str, named: Named, number: int, *, capital: bool = False) -> Alias:
    """A name by its words, whatever stands between them."""
    tokens = [re.escape(token) for token in words.split()]
    pattern = r"[\s-]+".join(token.replace(r"\-", r"[\s-]") for token in tokens)
    return Alias(pattern=pattern, named=named, number=number, capital=capital, length=len(words))


def _setups(called: _Called) -> Iterator[Alias]:
    numbers = {key: i for i, (key, _) in enumerate(called.setups)}
    for i, (_, name) in enumerate(called.setups):
        yield _alias(name, Named.SETUP, i, capital=name[:1].isupper() and " " not in name)
    for short, key in called.short:
        if key in numbers:
            yield _alias(short, Named.SETUP, numbers[key], capital=True)


def _tests(tests: tuple[_Test, ...], rules: Rules) -> Iterator[Alias]:
    """A test by its name, by its last word where that is a name, and by what is seen in its scene."""
    lasts = Counter(test.name.split()[-1] for test in tests if test.name)
    scenes = Counter(words for test in tests for words in set(_scene(test, rules)))
    for i, test in enumerate(tests):
        yield _alias(test.name, Named.TEST, i, capital=" " not in test.name)
        last = (test.name.split() or [""])[-1]
        if last[:1].isupper() and lasts[last] == 1 and " " in test.name:
            yield _alias(last, Named.TEST, i, capital=True)
        yield from (_alias(w, Named.TEST, i) for w in set(_scene(test, rules)) if scenes[w] == 1)
        yield from _done(test, i, rules)


def _done(test: _Test, number: int, rules: Rules) -> Iterator[Alias]:
    """A test by what is done in it, where its name is no proper one: "exporting the timeline"."""
    words, names = test.name.split(), rules.plain["names"]
    if len(words) == 2 and words[1].islower():
        bent = [re.escape(word.rstrip("e")) + names["ending"] for word in words]
        done = names["done"].format(*bent)
        yield Alias(pattern=done, named=Named.TEST, number=number, length=len(test.name))
        for word in (words[1], words[0].casefold()):
            if word not in names["common"]:
                by_it = names["the_done"].format(re.escape(word))
                yield Alias(pattern=by_it, named=Named.TEST, number=number, length=len(word))


def _scene(test: _Test, rules: Rules) -> Iterator[str]:
    """Two words that follow each other in a scene, small ones left out."""
    small = set(rules.plain["names"]["small"])
    for part in re.split(r"[,;]", test.scene):
        words = part.split()
        for a, b in pairwise(words):
            if a.casefold() not in small and b.casefold() not in small:
                yield f"{a} {b}"


def _groups(groups: tuple[tuple[str, str], ...], rules: Rules) -> Iterator[Alias]:
    ending = rules.plain["names"]["ending"]
    for i, both in enumerate(groups):
        for name in set(both):
            root = re.escape(stem(name, rules))
            pattern = root + ("" if " " in name else ending)
            yield Alias(pattern=pattern, named=Named.GROUP, number=i, length=len(name))


def _audiences(named: tuple[tuple[str, str], ...], rules: Rules) -> Iterator[Alias]:
    """An audience by key, name, the words of its name turned round, and what sets its name apart."""
    pieces = Counter(_pieces(name)[-1] for _, name in named)
    for i, (key, name) in enumerate(named):
        yield _alias(key, Named.AUDIENCE, i)
        yield _bent(name, i, rules)
        words = name.split()
        if len(words) == 2:
            yield _bent(rules.plain["names"]["reversed"].format(*words), i, rules)
        tail = _pieces(name)[-1]
        if tail != name and pieces[tail] == 1:
            yield _bent(tail, i, rules)


def _bent(name: str, number: int, rules: Rules) -> Alias:
    """A name whose words may end otherwise."""
    ending = rules.plain["names"]["ending"]
    words = [re.escape(stem(word, rules)) + ending for word in _TOKEN.findall(name)]
    return Alias(pattern=r"[\s,-]+".join(words), named=Named.AUDIENCE, number=number, length=len(name))


def _pieces(name: str) -> list[str]:
    return [piece.strip() for piece in name.split(",")]


def stem(word: str, rules: Rules) -> str:
    """A word without an ending that it may lack; what is left has three letters or more."""
    for ending in rules.plain["names"]["endings"]:
        if word.casefold().endswith(ending) and len(word) - len(ending) > 2:
            return word[: -len(ending)]
    return word


def _parts(names: list[str]) -> Iterator[Alias]:
    """A part by its name and by every row of two or more of its words that no other part has."""
    rows = {i: set(_rows(name)) for i, name in enumerate(names)}
    shared = Counter(row for own in rows.values() for row in own)
    for i, name in enumerate(names):
        yield _alias(name, Named.PART, i)
        yield from (_alias(row, Named.PART, i, capital=True) for row in rows[i] if shared[row] == 1)
    lasts = Counter(name.split()[-1] for name in names)
    for i, name in enumerate(names):
        last = name.split()[-1]
        if lasts[last] == 1 and last.isalpha() and last[:1].isupper() and len(last) > 3:
            yield _alias(last, Named.PART, i, capital=True)


def _rows(name: str) -> Iterable[str]:
    words = name.replace(",", " ").split()
    for start in range(len(words)):
        for end in range(start + 2, len(words) + 1):
            yield " ".join(words[start:end])
