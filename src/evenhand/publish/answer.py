"""The line a page opens with: what a whole comparison says, in one or two sentences."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.findings.finding import Comparison, Finding, Index, Outcome
from evenhand.publish.doubt_words import but_doubted
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.publish.sentences import index_stands, is_refused, states_of, tests_of
from evenhand.verdicts.front_pair import front_of_indexes

LEADS = (Outcome.AHEAD, Outcome.BEHIND)


def answer(comparison: Comparison, names: Names) -> str:
    """What the whole comparison says, and which setup of it was not what it was said to be.

    Of two setups: the counts of tests, then the index over all. Of more: who is ahead of whom over all
    tests, then the number of who is in front over its nearest rival and what that leans on.
    """
    doubts = but_doubted([c for f in comparison.findings for c in f.caveats], names)
    return " ".join([_answer(comparison, names), *doubts])


def _answer(comparison: Comparison, names: Names) -> str:
    findings = [f for f in comparison.findings if f.headline]
    overall = [i for i in comparison.indexes if not i.group]
    pairs = list(dict.fromkeys((f.a, f.b) for f in findings))
    if not pairs:
        return "No two setups have a test in common yet."
    own = [[f for f in findings if (f.a, f.b) == pair] for pair in pairs]
    if len(pairs) == 1:
        counts = f"{_counted_states(findings, names)}."
        return " ".join([counts, *(index_stands(i, names, margin=comparison.margin) for i in overall[:1])])
    if not overall:
        return " ".join(f"{_counted_states(of_pair, names)}." for of_pair in own)
    standings = f"{tests_of(overall[0], names)} {_standings(overall, names)}."
    front = front_of_indexes(comparison.indexes)
    return " ".join([standings, *_of_pair(comparison, front.pair if front else pairs[0], names)])


def _of_pair(comparison: Comparison, pair: tuple[str, str], names: Names) -> list[str]:
    """The number of the pair in front, where a side is ahead, and what it leans on."""
    own = [i for i in comparison.indexes if (i.a, i.b) == pair]
    index = next((i for i in own if i.outcome in LEADS), own[0] if own else None)
    if index is None:
        return []
    flips = [names.test(left.test) for left in index.left_out if left.flips]
    on = "single tests" if len(flips) > 1 else f"one test, {flips[0]}" if flips else ""
    said = index_stands(index, names, margin=comparison.margin, short=True)
    return [said if not on else f"{said.removesuffix('.')}, and that leans on {on}."]


def _counted_states(findings: Sequence[Finding], names: Names) -> str:
    """How often each state occurs: "Plover is ahead in four tests, Dunlin in three, and two are level"."""
    a, b = names.setup(findings[0].a), names.setup(findings[0].b)
    states = states_of(findings)
    if len(states) == 1:
        return _all_alike_sentence(next(iter(states)), findings, names)
    parts: list[str] = []
    for outcome, n in states.items():
        tests = counted(n, "test") if not parts else count_word(n)
        if outcome in LEADS:
            lead = "" if any(" in " in p for p in parts) else "is ahead "
            parts.append(f"{a if outcome is Outcome.AHEAD else b} {lead}in {tests}")
        else:
            parts.append(f"{tests} {'is' if n == 1 else 'are'} {outcome.value}")
    return capital(f"{', '.join(parts[:-1])}, and {parts[-1]}")


def _all_alike_sentence(outcome: Outcome, findings: Sequence[Finding], names: Names) -> str:
    n = len(findings)
    every = (
        names.test(findings[0].test) if n == 1 else "both tests" if n == 2 else f"all {counted(n, 'test')}"
    )
    first, second = _who(findings[0], names)
    if outcome in LEADS:
        return f"{first} is ahead of {second} in {every}"
    if all(map(is_refused, findings)):
        none = every if n == 1 else "either test" if n == 2 else f"any of {counted(n, 'test')}"
        return f"{first} and {second} may not be held against each other in {none}"
    return f"{first} and {second} are {outcome.value} in {every}"


def _who(found: Finding | Index, names: Names) -> tuple[str, str]:
    """Both names, the one ahead first."""
    a, b = names.setup(found.a), names.setup(found.b)
    return (b, a) if found.outcome is Outcome.BEHIND else (a, b)


def _standings(indexes: Sequence[Index], names: Names) -> str:
    """Who is ahead of whom; setups that are ahead of the same ones are told together."""
    behind: dict[str, list[str]] = {}
    for first, second in (_who(i, names) for i in indexes if i.outcome in LEADS):
        behind.setdefault(first, []).append(second)
    leaders: dict[tuple[str, ...], list[str]] = {}
    for first, seconds in behind.items():
        leaders.setdefault(tuple(sorted(seconds)), []).append(first)
    others = {_who(i, names): i.outcome.value for i in indexes if i.outcome not in LEADS}
    said = [f"{first} and {second} are {state}" for (first, second), state in others.items()]
    named: set[str] = set(list(others)[-1]) if others else set()
    for trailing, firsts in leaders.items():
        who = "both" if set(firsts) == named and len(said) == len(others) else listed(tuple(firsts))
        said.append(f"{who} {'is' if len(firsts) == 1 else 'are'} ahead of {listed(trailing)}")
    return "; ".join(said)
