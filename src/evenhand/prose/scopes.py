"""Over what a clause speaks: tests, a group of them, all of them, an audience; and by which number."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.errors import EvenhandError
from evenhand.metrics.wall import FRAME_ENERGY
from evenhand.prose.activities import audience_of_most, group_of_more
from evenhand.prose.ground import Ground
from evenhand.prose.mentions import Signed
from evenhand.prose.quotable import Quotable
from evenhand.prose.references import resolve
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named, read
from evenhand.prose.spelling import value_of
from evenhand.verdicts.weighed_metrics import LOW_METRIC

IDLE = ""  # the test of what was read while nothing ran
ANY = "*"  # whichever single test is left out


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What a claim is about. `tests` are spoken of one by one; else `group` ("": all tests), or `audience`.

    `said` is False where nothing was said of it, so that it is the widest that the sentence suggests.
    `metric` is "" for the headline number. `without` are tests that are taken away (ANY: whichever).
    """

    tests: tuple[str, ...] = ()
    group: str = ""
    audience: str = ""
    metric: str = ""
    said: bool = False
    total: bool = False
    without: tuple[str, ...] = ()


WIDEST = Scope()


def scope_of(sentence: Signed, span: tuple[int, int], ground: Ground, rules: Rules) -> Scope:
    """What a stretch of a sentence itself says of its scope."""
    metric = metric_of(sentence, span, rules)
    away, besides = taken_away(sentence, span, rules), _besides(sentence, span, rules)
    tests = tuple(test for test in sentence.keys(Named.TEST, span) if test not in (*away, *besides))
    text, groups = sentence.text[span[0] : span[1]], sentence.keys(Named.GROUP, span)
    if not tests and (more := group_of_more(sentence.text[span[0] : span[1]], ground, rules)):
        return Scope(group=more, metric=metric, said=True)
    if away and not tests:
        return Scope(group=groups[0] if groups else "", metric=metric, said=True, without=away)
    if rules["scope.idle"].search(text) and not tests:
        return Scope(tests=(IDLE,), metric=metric, said=True)
    if tests:
        return Scope(tests=tests, metric=metric, said=True)
    if rules["scope.sum"].search(text):
        return Scope(group=groups[0] if groups else "", metric=metric, said=True, total=not groups)
    each = rules["scope.each"].search(text)
    if each:
        every = _every(each[0], groups, ground, rules)
        return Scope(tests=tuple(t for t in every if t not in besides), metric=metric, said=True)
    return _of_people(sentence, span, ground, rules)


def _of_people(sentence: Signed, span: tuple[int, int], ground: Ground, rules: Rules) -> Scope:
    """The scope of a stretch that names no test: an audience, its references, a group, or all."""
    metric, text = metric_of(sentence, span, rules), sentence.text[span[0] : span[1]]
    audiences, groups = sentence.keys(Named.AUDIENCE, span), sentence.keys(Named.GROUP, span)
    who = audiences[0] if audiences else audience_of_most(text, ground, rules)
    if who:
        return Scope(audience=who, metric=metric, said=True)
    quoted = _of_references(sentence, span, ground)
    if quoted.said:
        return replace(quoted, metric=metric or quoted.metric)
    if groups and rules["scope.over"].search(text):
        return Scope(group=groups[0], metric=metric, said=True)
    sized = rules["scope.sized"].search(text)
    if sized and not groups and (tests := _every(sized["n"], (), ground, rules)) != ground.group_tests(""):
        return Scope(group=_group_of(tests, ground), metric=metric, said=True)
    overall = bool(rules["scope.overall"].search(text))
    return Scope(metric=metric, said=overall, total=overall)


def _every(words: str, groups: tuple[str, ...], ground: Ground, rules: Rules) -> tuple[str, ...]:
    """The tests of "in all four": those of the group that is named, else of the one that has so many."""
    if groups:
        return ground.group_tests(groups[0])
    told = [value_of(found[0], rules) for found in rules["scope.number"].finditer(words)]
    sized = [group for group in ground.groups if len(ground.group_tests(group)) in told]
    return ground.group_tests(sized[0] if len(sized) == 1 else "")


def _group_of(tests: tuple[str, ...], ground: Ground) -> str:
    return next((group for group in ground.groups if ground.group_tests(group) == tests), "")


def _besides(sentence: Signed, span: tuple[int, int], rules: Rules) -> tuple[str, ...]:
    """The tests of which a stretch says that it does not hold: "except for", "unlike in"."""
    rows = [found.span("t") for found in rules["scope.besides"].finditer(sentence.text, *span)]
    return tuple(test for row in rows for test in sentence.keys(Named.TEST, row))


def taken_away(sentence: Signed, span: tuple[int, int], rules: Rules) -> tuple[str, ...]:
    """The tests that a stretch leaves out; ANY where it says "whichever you leave out"."""
    if rules["scope.without_any"].search(sentence.text, *span):
        return (ANY,)
    signs = [
        at for found in rules["scope.without"].finditer(sentence.text, *span)
        for at, end in map(found.span, ("t", "t2", "t3")) if at < end
    ]  # fmt: skip
    away = [m.key for m in sentence.of(Named.TEST, span) if m.at in signs]
    if not away and rules["scope.without_it"].search(sentence.text, *span):
        away = [m.key for m in sentence.of(Named.TEST, (0, span[1]))][-1:]
    return tuple(dict.fromkeys(away))


def metric_of(sentence: Signed, span: tuple[int, int], rules: Rules) -> str:
    """The number that a stretch speaks of where it is not the headline one."""
    text = sentence.text[span[0] : span[1]]
    if rules["metrics.low"].search(text):
        return LOW_METRIC
    return FRAME_ENERGY if rules["metrics.energy"].search(text) else ""


def quoted_in(sentence: Signed, span: tuple[int, int], ground: Ground) -> tuple[Quotable, ...]:
    """The figures that references in a stretch tell; those that mean nothing left out."""
    told = []
    for reference, at in zip(sentence.references, reference_places(sentence), strict=False):
        if span[0] <= at < span[1]:
            try:
                told.append(resolve(reference, ground.quotables)[0])
            except EvenhandError:
                continue
    return tuple(told)


def reference_places(sentence: Signed) -> list[int]:
    """Where the signs of references stand, in order."""
    return [i for i, c in enumerate(sentence.text) if (known := read(c)) and known[0] is Named.REFERENCE]


def _of_references(sentence: Signed, span: tuple[int, int], ground: Ground) -> Scope:
    """The scope of the figures that a stretch tells, where they agree on one."""
    found = {
        Scope(
            tests=() if q.audience or q.group else q.tests if len(q.tests) == 1 else (), group=q.group,
            audience=q.audience, metric=LOW_METRIC if q.metric == LOW_METRIC else "", said=True,
        )
        for q in quoted_in(sentence, span, ground) if q.setups
    }  # fmt: skip
    return found.pop() if len(found) == 1 else WIDEST
