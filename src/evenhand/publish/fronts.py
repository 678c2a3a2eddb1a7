"""Who is in front of all the others, test by test: one headline for a picture of any number of setups."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import combinations

from evenhand.findings.finding import Finding, Outcome
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, listed
from evenhand.publish.sentences import headline

Front = tuple[str, ...]
UNSETTLED: Front = ()
NOBODY, EVERYBODY = "nobody", "all"


def fronts_headline(findings: Sequence[Finding], names: Names) -> str:
    """Who leads in these findings of one metric, each test told once; "" where there is none.

    Of two setups it is their headline; of more: "Plover ahead of all in two, Plover and Dunlin level in one".
    """
    setups = tuple(dict.fromkeys(setup for f in findings for setup in (f.a, f.b)))
    if len(setups) <= 2:
        return headline(findings, names) if findings else ""
    tests = dict.fromkeys(f.test for f in findings)
    fronts = {test: front_of([f for f in findings if f.test == test]) for test in tests}
    counts = Counter(fronts.values())
    if len(tests) == 1:
        return _single(*next(iter(fronts.items())), setups, names)
    if len(counts) == 1:
        every = "both tests" if len(tests) == 2 else f"all {count_word(len(tests))} tests"
        return _begun(_said(next(iter(counts)), setups, names, where=f" in {every}"))
    return _counted(counts, setups, names)


def _counted(counts: Mapping[Front, int], setups: Sequence[str], names: Names) -> str:
    """How often who is in front: single leaders first, those level in front after them, unsettled last."""
    parts: list[str] = []
    for front in sorted(counts, key=lambda front: (front == UNSETTLED, len(front), -counts[front])):
        n = count_word(counts[front])
        if front == UNSETTLED:
            parts.append(f"{n} unsettled")
        elif len(front) == 1:
            lead = "" if parts else " ahead of all"
            parts.append(f"{names.setup(front[0])}{lead} in {n}")
        else:
            parts.append(_said(front, setups, names, where=f" in {n}"))
    return capital(", ".join(parts))


def front_of(findings: Sequence[Finding]) -> Front:
    """The setups of one test that are ahead of all others and level among each other; none where unsettled.

    With a pair that was not compared, or that is unsettled at the front, nobody is.
    """
    setups = tuple(dict.fromkeys(setup for f in findings for setup in (f.a, f.b)))
    stands = {(f.a, f.b): f.outcome for f in findings}
    stands |= {(f.b, f.a): _turned(f.outcome) for f in findings}
    front = tuple(a for a in setups if not any(stands.get((a, b)) is Outcome.BEHIND for b in setups))
    level = all(stands.get(pair) is Outcome.LEVEL for pair in combinations(front, 2))
    rest = [setup for setup in setups if setup not in front]
    clear = all(stands.get((a, b)) is Outcome.AHEAD for a in front for b in rest)
    return front if level and clear else UNSETTLED


def _turned(outcome: Outcome) -> Outcome:
    return {Outcome.AHEAD: Outcome.BEHIND, Outcome.BEHIND: Outcome.AHEAD}.get(outcome, outcome)


def _single(test: str, front: Front, setups: Sequence[str], names: Names) -> str:
    if front == UNSETTLED:
        return f"Unsettled in {names.test(test)}: nobody is ahead of all"
    return _begun(_said(front, setups, names, where=f" in {names.test(test)}"))


def _begun(said: str) -> str:
    """The words with a capital, but for a setup's key, which stays as it is written."""
    return capital(said) if said.startswith((f"{NOBODY} ahead", f"{EVERYBODY} level")) else said


def _said(front: Front, setups: Sequence[str], names: Names, *, where: str) -> str:
    if front == UNSETTLED:
        return f"{NOBODY} ahead of all{where}"
    if len(front) == len(setups):
        return f"{EVERYBODY} level{where}"
    who = listed(tuple(map(names.setup, front)))
    return f"{who} {'ahead of all' if len(front) == 1 else 'level'}{where}"
