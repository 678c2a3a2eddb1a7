"""Reservations in words: each said once, with the tests or the indexes that it is of.

What holds of every test or every index says so instead of naming them all; on a picture a few words stand
for the whole of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from evenhand.errors import NotFound
from evenhand.findings.finding import Caveat, Finding, Index
from evenhand.metrics.definitions import definition
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, counted, listed

Pair = tuple[str, str]


def caveats(found: Iterable[Finding | Index], names: Names) -> tuple[str, ...]:
    """Every reservation of these findings and indexes, once each, in order: "In Hollow Regatta: …"."""
    carried = list(found)
    findings = [f for f in carried if isinstance(f, Finding)]
    indexes = [i for i in carried if isinstance(i, Index)]
    pairs = list(dict.fromkeys((f.a, f.b) for f in carried))
    said = [*_of_findings(findings, pairs, names)]
    for pair in pairs:
        about = f"{names.setup(pair[0])} and {names.setup(pair[1])}, " if len(pairs) > 1 else ""
        said += _of_indexes([i for i in indexes if (i.a, i.b) == pair], about, names)
    return tuple(dict.fromkeys(said))


def on_a_picture(findings: Sequence[Finding]) -> tuple[str, ...]:
    """What readers of a picture of these findings must know, in a few words a sentence.

    >>> on_a_picture([])
    ()
    """
    boots, order = _boots(findings), _order(findings)
    alike = boots.removeprefix("boots ") == order.removeprefix("order ") != ""
    said = [f"boots and {order}"] if alike else [words for words in (boots, order) if words]
    return (*_place(said), *_cut(findings), *_waits(findings))


def _cut(findings: Sequence[Finding]) -> list[str]:
    """That runs are measured in windows of their own, in how many tests."""
    tests = {f.test for f in findings if any(c.key == "cut-otherwise" for c in f.caveats)}
    return [f"Runs cut otherwise in {counted(len(tests), 'test')}."] if tests else []


def _place(said: Sequence[str]) -> list[str]:
    return [f"{capital(', '.join(said))}."] if said else []


def _waits(findings: Sequence[Finding]) -> list[str]:
    waiting = sum(c.waiting for f in findings for c in f.caveats)
    return [f"{capital(counted(waiting, 'run waits', 'runs wait'))}."] if waiting else []


def on_rates(findings: Sequence[Finding]) -> tuple[str, ...]:
    """The same for a picture of each setup's own numbers, which shows no pairs: each cell told once.

    >>> on_rates([])
    ()
    """
    tests = dict.fromkeys(f.test for f in findings)
    merged = [_over_pairs([f for f in findings if f.test == test]) for test in tests]
    sides = len({(f.test, setup) for f in findings if f.ratio is not None for setup in (f.a, f.b)})
    boots, order = _boots_each(merged, sides), _order(merged)
    alike = boots.removeprefix("boots ") == order.removeprefix("order ") != ""
    said = [f"boots and {order}"] if alike else [words for words in (boots, order) if words]
    return (*_place(said), *_cut(merged), *_waits(merged))


def _over_pairs(findings: Sequence[Finding]) -> Finding:
    """One finding that carries what any pair of its test does, each reservation once."""
    drawn = next((f for f in findings if f.ratio is not None), findings[0])
    once = dict.fromkeys(caveat for f in findings for caveat in f.caveats)
    return replace(drawn, caveats=tuple(once))


def _of_findings(findings: Sequence[Finding], pairs: Sequence[Pair], names: Names) -> list[str]:
    """Findings' reservations, like ones once; pairs and metrics are named where the words do not tell."""
    carrying: dict[Caveat, list[Finding]] = {}
    for f in findings:
        for caveat in f.caveats:
            carrying.setdefault(caveat, []).append(f)
    tests = tuple(dict.fromkeys(f.test for f in findings))
    placed: list[tuple[str, Caveat]] = []
    for caveat, own in carrying.items():
        for about, of in _by_pair(caveat, own, pairs, names):
            placed.append((f"{about}in {_tests(of, tests, names)}{_metric(of)}", caveat))
    return [_sentence(f"{where}: {_named(caveat, names)}") for where, caveat in _joined(placed)]


def _joined(placed: Sequence[tuple[str, Caveat]]) -> list[tuple[str, Caveat]]:
    """Reservations of one place that hold of each of several setups, as one of them all."""
    joined: dict[tuple[str, Caveat], Caveat] = {}
    for where, caveat in placed:
        alike = (where, replace(caveat, setups=()) if caveat.each else caveat)
        before = joined.get(alike)
        both = caveat if before is None else replace(before, setups=(*before.setups, *caveat.setups))
        joined[alike] = both
    return [(where, caveat) for (where, _), caveat in joined.items()]


def _by_pair(
    caveat: Caveat, own: Sequence[Finding], pairs: Sequence[Pair], names: Names
) -> list[tuple[str, list[Finding]]]:
    """The findings together, or pair by pair where the words name no setup and not every pair has them."""
    tests: dict[Pair, list[Finding]] = {}
    for f in own:
        tests.setdefault((f.a, f.b), []).append(f)
    alike = len({frozenset(f.test for f in of) for of in tests.values()}) == 1
    if caveat.setups or (alike and len(tests) == len(pairs)):
        return [("", list(own))]
    return [(f"{names.setup(a)} and {names.setup(b)}, ", of) for (a, b), of in tests.items()]


def _tests(of: Sequence[Finding], tests: Sequence[str], names: Names) -> str:
    own = tuple(dict.fromkeys(f.test for f in of))
    if len(own) == len(tests) > 1:
        return "both tests" if len(own) == 2 else "all tests"
    others = [test for test in tests if test not in own]
    if len(own) > 2 and len(others) == 1:
        return f"all tests but {names.test(others[0])}"
    return listed(tuple(map(names.test, own)))


def _metric(of: Sequence[Finding]) -> str:
    """Which number it is of, where that is not the headline number."""
    if any(f.headline for f in of):
        return ""
    return f", {listed(tuple(dict.fromkeys(metric_name(f.metric) for f in of)))}"


def metric_name(key: str) -> str:
    """What readers call a number; its key where it is none of ours."""
    try:
        return definition(key).label
    except NotFound:
        return key


def _of_indexes(indexes: Sequence[Index], about: str, names: Names) -> list[str]:
    """One sentence for each sort of reservation; where groups differ, each with its own words."""
    by_key: dict[str, dict[str, list[Index]]] = {}
    for index in indexes:
        for caveat in index.caveats:
            by_key.setdefault(caveat.key, {}).setdefault(_named(caveat, names), []).append(index)
    said = []
    for worded in by_key.values():
        parts = [f"{_places(of, indexes, names)}: {words}" for words, of in worded.items()]
        said.append(_sentence(f"{about}{'; '.join(parts)}"))
    return said


def _places(of: Sequence[Index], indexes: Sequence[Index], names: Names) -> str:
    if len(of) == len(indexes) > 1:
        return "in every index"
    return listed(tuple(over(i, names) for i in of))


def over(index: Index, names: Names) -> str:
    """Where an index stands, within a sentence: "over all nine", "over five of six", "in games"."""
    return f"in {names.group(index.group).lower()}" if index.group else f"over {how_many(index)}"


def how_many(index: Index) -> str:
    """How many of its tests an index holds: "all nine", "both", "five of six"."""
    n, missing = len(index.tests), len(index.missing)
    if missing:
        return f"{count_word(n)} of {count_word(n + missing)}"
    return {1: "one", 2: "both"}.get(n, f"all {count_word(n)}")


def _boots(findings: Sequence[Finding]) -> str:
    """How boots stand on record: repeated boots need no word."""
    seen = [f for f in findings if f.ratio is not None]
    for key, words in (("boots-unknown", "boots not on record"), ("one-boot", "one boot")):
        sides = [sum(c.key == key for c in f.caveats) for f in seen]
        if any(sides):
            each = (" a side" if max(sides) == 2 else " on one side") if key == "one-boot" else ""
            return f"{words}{each}{_in_some(sides)}"
    return ""


def _boots_each(findings: Sequence[Finding], sides: int) -> str:
    """How boots stand on record, of setups by themselves: `sides` cells are drawn."""
    for key, words, of_some in (
        ("boots-unknown", "boots not on record", "some boots not on record"),
        ("one-boot", "one boot each", "some of one boot"),
    ):
        carrying = sum(c.key == key for f in findings if f.ratio is not None for c in f.caveats)
        if carrying:
            return words if carrying == sides else of_some
    return ""


def _order(findings: Sequence[Finding]) -> str:
    said = {"not-interleaved": "not interleaved", "order-unknown": "order not on record"}
    seen = [{c.key for c in f.caveats} & set(said) for f in findings if f.ratio is not None]
    kinds = set().union(*seen)
    words = " or ".join(text for key, text in said.items() if key in kinds)
    return f"{words}{_in_some([bool(keys) for keys in seen])}" if words else ""


def _in_some(carrying: Sequence[int | bool]) -> str:
    n = sum(map(bool, carrying))
    return "" if n == len(carrying) else f" in {counted(n, 'test')}"


def _named(caveat: Caveat, names: Names) -> str:
    return caveat.told(names.setup, names.test)


def _sentence(words: str) -> str:
    return capital(words) + ("" if words.endswith(".") else ".")
