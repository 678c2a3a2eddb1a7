"""The nouns of findings while measuring goes on: at which look each stands, and when the next one comes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from evenhand.findings.finding import Outcome, Settle
from evenhand.plans.looks import Looks

Gone = Mapping[tuple[str, str], int]
"""Cells (test, setup) that get no more runs, with the runs that each has."""

NONE_GONE: Gone = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveFinding:
    """a over b in one test, so far.

    `n` is the runs of the side with fewer. `look` is the declared look that was last reached, `next_look` the
    next one, if any; a settled finding stands on the runs of its look and asks for no more. Numbers of an
    unsettled one are of all runs so far. `low`, `high`: the interval at the two-sided `level` that holds at
    the looks. `settle`: the further runs of each at whose look it would settle, at today's difference and
    spread. `allowance`: the error (a log) that boots and order on record cannot exclude.
    """

    test: str
    a: str
    b: str
    group: str
    outcome: Outcome
    n: int
    look: int | None
    next_look: int | None
    ratio: float | None
    low: float | None
    high: float | None
    level: float
    settle: Settle | None = None
    allowance: float = 0.0

    @property
    def settled(self) -> bool:
        """Whether it is level, ahead or behind."""
        return self.outcome is not Outcome.UNSETTLED

    @property
    def between(self) -> bool:
        """Whether it stands between looks, where nothing may be said."""
        return not self.settled and self.next_look is not None and self.n != self.look


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveIndex:
    """a over b over several tests ("" as group: all), judged where all its open tests stand at a look.

    `n` is the fewest runs of an open test; `settle` the further runs of each open test at whose look the
    index would settle by itself, at today's difference and spread. `allowance` as in `LiveFinding`. `used`:
    those of its tests whose numbers are in it; the others have none to compare yet.
    """

    group: str
    a: str
    b: str
    outcome: Outcome
    tests: tuple[str, ...]
    used: tuple[str, ...]
    n: int
    look: int | None
    next_look: int | None
    ratio: float
    low: float | None
    high: float | None
    level: float
    settle: Settle | None = None
    allowance: float = 0.0

    @property
    def settled(self) -> bool:
        """Whether it is level, ahead or behind."""
        return self.outcome is not Outcome.UNSETTLED


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """All that may be said while measuring goes on."""

    looks: Looks
    findings: tuple[LiveFinding, ...]
    indexes: tuple[LiveIndex, ...]

    def needs(self, test: str, setup: str, *, gone: Gone = NONE_GONE) -> bool:
        """Whether a test still needs runs of a setup: one of its pairs is open, or has no finding yet.

        A pair that a cell which is `gone` keeps from its next look is not open: runs of the other one alone
        bring it no nearer.
        """
        own = [f for f in self.findings if f.test == test and setup in (f.a, f.b)]
        if not own:
            return (test, setup) not in gone
        return any(not f.settled and not out_of_reach(f, gone) for f in own)

    def settled_with(self, test: str, setup: str) -> tuple[LiveFinding, ...]:
        """The settled findings of a test that a setup is part of."""
        return tuple(f for f in self.findings if f.test == test and setup in (f.a, f.b) and f.settled)


def out_of_reach(found: LiveFinding | LiveIndex, gone: Gone) -> bool:
    """Whether an unsettled finding or index can reach no further look: a cell of it gets no more runs."""
    tests = (found.test,) if isinstance(found, LiveFinding) else found.tests
    runs = [gone[cell] for test in tests for cell in ((test, found.a), (test, found.b)) if cell in gone]
    if found.settled or not runs:
        return False
    return found.next_look is None or min(runs) < found.next_look
