"""Sentences that put one setup first of all."""

from __future__ import annotations

from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.verdicts.backing import Asked, Backing, bridged, counted, of, reason, sentence
from evenhand.verdicts.claims import As, Kind, Rung, Said, Standing
from evenhand.verdicts.claims_measured import refused, subject

FIRST_IN = {Kind.NOISE.value: "noise", Kind.POWER.value: "power"}


def superlative_standing(asked: Asked, backing: Backing) -> Standing:
    """First of all: a (or b) must be called ahead of every other setup of the study, pair by pair.

    Where only one test was measured there is no index over several, and its own finding speaks.
    """
    would_of_none = subject(asked, backing)[1]
    asked = replace(asked, about=_over(asked, backing))
    leaders = {s: not _not_behind(s, backing, asked.about) for s in backing.setups}
    first = next((setup for setup, leads in leaders.items() if leads), None)
    would = would_of_none if first is None else _first_sentence(first, asked, backing)
    meant = {Outcome.AHEAD: backing.a, Outcome.BEHIND: backing.b}.get(asked.says or Outcome.UNSETTLED, first)
    if meant is None:
        return refused(asked, reason("first-nobody"), would=would)
    rivals = _not_behind(meant, backing, asked.about)
    if not rivals:
        return Standing(
            kind=asked.kind, rung=Rung.TESTS, allowed=True, reason=reason("first-shown"), would_stand=would,
            stands_on=Rung.TESTS,
        )  # fmt: skip
    unseen = [s for s in rivals if backing.outcome(meant, s, asked.about) is None]
    key, who = ("first-not-compared", unseen) if unseen else ("first-not-shown", rivals)
    return refused(asked, reason(key, rivals=of(As.SETUP, *who)), would=would)


def _over(asked: Asked, backing: Backing) -> str:
    """What is looked at: the group that is asked about, or its only test where one alone has numbers."""
    about, whole = asked.about, backing.comparison
    if about in FIRST_IN or any(index.group == about for index in whole.indexes):
        return about
    measured = [f for f in whole.findings if f.headline and f.ratio is not None and about in ("", f.group)]
    tests = {finding.test for finding in measured}
    return tests.pop() if len(tests) == 1 else about


def _not_behind(first: str, backing: Backing, about: str) -> list[str]:
    """The setups that this one is not called ahead of."""
    others = [setup for setup in backing.setups if setup != first]
    return [s for s in others if backing.outcome(first, s, about) is not Outcome.AHEAD]


def _first_sentence(first: str, asked: Asked, backing: Backing) -> Said:
    rivals = of(As.SETUP, *(setup for setup in backing.setups if setup != first))
    who = {"first": of(As.SETUP, first), "rivals": rivals}
    if asked.about in FIRST_IN:
        return sentence(f"first-{FIRST_IN[asked.about]}", **who)
    if backing.finding(asked.about) is not None:
        over = [f for f in backing.comparison.findings if f.test == asked.about and first in (f.a, f.b)]
        made = sentence("first-test", **who, tests=of(As.TEST, asked.about))
        return bridged(made, [machine for f in over for machine in f.bridged_by])
    own = [i for i in backing.comparison.indexes if i.group == asked.about]
    tests = {t for i in own for t in i.tests}
    bridges = [machine for i in own if first in (i.a, i.b) for machine in i.bridged_by]
    return bridged(sentence("first", **who, count=counted(len(tests), "test")), bridges)
