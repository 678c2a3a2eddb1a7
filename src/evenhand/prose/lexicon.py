"""Every way in which a script may name what is on record: setups, tests, groups, audiences, parts."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from evenhand.prose.ground import Ground
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named
from evenhand.records.tests import Test

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


def lexicon(ground: Ground, rules: Rules) -> Lexicon:
    """The names of a study. A name that two things share belongs to the first."""
    tests, parts = ground.tests, ground.parts
    every = [
        *_setups(ground), *_tests(tests, rules), *_groups(ground, rules), *_audiences(ground, rules),
        *_parts(ground),
    ]  # fmt: skip
    first: dict[str, Alias] = {}
    for alias in every:
        first.setdefault(alias.pattern.casefold(), alias)
    aliases = tuple(sorted(first.values(), key=lambda a: -a.length))
    whole = "|".join(rf"(?P<a{i}>(?<!\w){a.pattern}(?!\w))" for i, a in enumerate(aliases)) or "(?!)"
    return Lexicon(
        setups=ground.setups, tests=tuple(t.key for t in tests), groups=ground.groups,
        audiences=tuple(ground.audiences), parts=tuple(p.key for p in parts), kinds=tuple(rules.kinds),
        aliases=aliases, scan=re.compile(whole, re.IGNORECASE),
    )  # fmt: skip


def _alias(words: str, named: Named, number: int, *, capital: bool = False) -> Alias:
    """A name by its words, whatever stands between them."""
    tokens = [re.escape(token) for token in words.split()]
    pattern = r"[\s-]+".join(token.replace(r"\-", r"[\s-]") for token in tokens)
    return Alias(pattern=pattern, named=named, number=number, capital=capital, length=len(words))


def _setups(ground: Ground) -> Iterator[Alias]:
    for i, key in enumerate(ground.setups):
        name = ground.names.setup(key)
        yield _alias(name, Named.SETUP, i, capital=name[:1].isupper() and " " not in name)
    for short, key in ground.quotables.called.items():
        if key in ground.setups:
            yield _alias(short, Named.SETUP, ground.setups.index(key), capital=True)


def _tests(tests: tuple[Test, ...], rules: Rules) -> Iterator[Alias]:
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


def _done(test: Test, number: int, rules: Rules) -> Iterator[Alias]:
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


def _scene(test: Test, rules: Rules) -> Iterator[str]:
    """Two words that follow each other in a scene, small ones left out."""
    small = set(rules.plain["names"]["small"])
    for part in re.split(r"[,;]", test.scene):
        words = part.split()
        for a, b in pairwise(words):
            if a.casefold() not in small and b.casefold() not in small:
                yield f"{a} {b}"


def _groups(ground: Ground, rules: Rules) -> Iterator[Alias]:
    ending = rules.plain["names"]["ending"]
    for i, group in enumerate(ground.groups):
        for name in {group, ground.names.group(group)}:
            root = re.escape(stem(name, rules))
            pattern = root + ("" if " " in name else ending)
            yield Alias(pattern=pattern, named=Named.GROUP, number=i, length=len(name))


def _audiences(ground: Ground, rules: Rules) -> Iterator[Alias]:
    """An audience by key, name, the words of its name turned round, and what sets its name apart."""
    named = list(ground.audiences.items())
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


def _parts(ground: Ground) -> Iterator[Alias]:
    """A part by its name and by every row of two or more of its words that no other part has."""
    rows = {i: set(_rows(part.name)) for i, part in enumerate(ground.parts)}
    shared = Counter(row for own in rows.values() for row in own)
    for i, part in enumerate(ground.parts):
        yield _alias(part.name, Named.PART, i)
        yield from (_alias(row, Named.PART, i, capital=True) for row in rows[i] if shared[row] == 1)
    lasts = Counter(part.name.split()[-1] for part in ground.parts)
    for i, part in enumerate(ground.parts):
        last = part.name.split()[-1]
        if lasts[last] == 1 and last.isalpha() and last[:1].isupper() and len(last) > 3:
            yield _alias(last, Named.PART, i, capital=True)


def _rows(name: str) -> Iterable[str]:
    words = name.replace(",", " ").split()
    for start in range(len(words)):
        for end in range(start + 2, len(words) + 1):
            yield " ".join(words[start:end])
