"""Clauses of a sentence, and which of them claim nothing though they have the words of a claim."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from evenhand.prose.mentions import Signed
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause:
    """A stretch of a sentence in which one thing is said; `quiet_from` on it claims nothing."""

    start: int
    end: int
    quiet_from: int

    @property
    def span(self) -> tuple[int, int]:
        """Where it stands in its sentence."""
        return self.start, self.end


def clauses(sentence: Signed, rules: Rules) -> tuple[Clause, ...]:
    """The clauses of a sentence, in order."""
    cuts = _cuts(sentence, rules)
    ends = [*cuts, len(sentence.text)]
    return tuple(
        Clause(start=start, end=end, quiet_from=_quiet_from(sentence, (start, end), rules))
        for start, end in zip([0, *cuts], ends, strict=True)
        if start < end
    )


def _cuts(sentence: Signed, rules: Rules) -> list[int]:
    """Where a clause begins: at words that join it to another, and where somebody else is the subject."""
    cuts = {found.start() for found in rules["clauses.cut"].finditer(sentence.text)}
    for found in rules["clauses.turn"].finditer(sentence.text):
        begin = max((cut for cut in cuts if cut < found.start()), default=0)
        if _has_said(sentence, (begin, found.start()), rules):
            cuts.add(found.start())
    return sorted({*cuts, *_between_tests(sentence, cuts, rules)})


def _between_tests(sentence: Signed, cuts: set[int], rules: Rules) -> Iterator[int]:
    """Where one test is left for another of which something else is said: "ahead here and behind there"."""
    tests = sentence.of(Named.TEST)
    for here, there in pairwise(tests):
        between = sentence.text[here.at + 1 : there.at]
        joints = [
            found.start() for found in rules["clauses.joint"].finditer(between)
            if not rules["clauses.pair"].search(between[: found.end() + 1])
        ]  # fmt: skip
        apart = any(here.at < cut < there.at for cut in cuts)
        if apart or not joints or rules["clauses.row"].fullmatch(between):
            continue
        cut = here.at + 1 + joints[-1]
        further = next((t.at for t in tests if t.at > there.at), len(sentence.text))
        more = not rules["clauses.row"].fullmatch(sentence.text[cut : there.at])
        if more or (
            sentence.of(Named.SETUP, (here.at, cut)) and sentence.of(Named.SETUP, (there.at, further))
        ):
            yield cut


def _has_said(sentence: Signed, span: tuple[int, int], rules: Rules) -> bool:
    """Whether a stretch says something of a setup, so that the next one named is of another clause."""
    said = sentence.text[span[0] : span[1]]
    if rules["clauses.fronted"].search(said) or rules["clauses.pronoun"].search(said):
        return True
    for named in sentence.of(Named.SETUP, span):
        before, after = sentence.text[span[0] : named.at], sentence.text[named.at + 1 : span[1]]
        if not rules["roles.strict_object"].search(before) and rules["clauses.said_of"].match(after):
            return True
    return False


def _quiet_from(sentence: Signed, span: tuple[int, int], rules: Rules) -> int:
    """Where in a clause somebody refuses to say what follows, or from where it is taken back."""
    back = rules["exempt.taken_back"].search(sentence.text)
    if back is not None and span[0] < back.start():
        return span[0]
    if rules["exempt.endorsed"].search(sentence.text):
        return span[1]
    found = rules["exempt.ahead"].search(sentence.text, *span)
    return found.start() if found else span[1]


def claims_nothing(sentence: Signed, rules: Rules) -> bool:
    """Whether a sentence as a whole asks, refuses, supposes or tells somebody what to do."""
    text = sentence.text.strip()
    asks = rules["clauses.question"].search(text) and not rules["clauses.presumes"].search(text)
    if asks or rules["exempt.whole"].search(text) or rules["exempt.imagined"].search(text):
        return True
    if rules["exempt.both_ways"].search(text) and rules["exempt.possible"].search(text):
        return True
    if rules["exempt.hypothesis"].search(text):
        return True
    supposed = rules["exempt.conditional"].search(text) and not rules["scope.without"].search(text)
    if rules["exempt.with_part"].search(text):
        return False  # "would win if it had this part" says what the part does
    return bool(supposed and rules["exempt.guarded"].search(text))


def is_denied(sentence: Signed, found: re.Match[str], *, clause: Clause, rules: Rules) -> bool:
    """Whether a claim is denied or guarded by a word before it in its clause."""
    before = sentence.text[clause.start : found.start()]
    hedges = list(rules["exempt.hedge"].finditer(sentence.text, clause.start, found.end()))
    if hedges:
        return True
    for word in rules["exempt.negation"].finditer(before):
        between = before[word.end() :]
        if "," not in between and len(between.split()) <= int(rules.plain["exempt"]["reach"]):
            return True
    return False


def not_said(sentence: Signed, rules: Rules) -> Iterator[tuple[int, int]]:
    """Stretches that nobody stands for: what is only supposed, and somebody else's words."""
    for kind in ("exempt.supposed", "exempt.bidden"):
        yield from (found.span() for found in rules[kind].finditer(sentence.text))
    yield from _quotes(sentence, rules)


def _quotes(sentence: Signed, rules: Rules) -> Iterator[tuple[int, int]]:
    """Stretches that quote somebody else's words, where the sentence says that it does."""
    for found in rules["exempt.quoted"].finditer(sentence.text):
        rest = sentence.text[: found.start()] + sentence.text[found.end() :]
        if rules["exempt.reported"].search(rest):
            yield found.span()
