"""The nouns of comparison: a cell of runs, a finding, an index, an exclusion seen with and without."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Outcome(StrEnum):
    """What may be said of a over b."""

    AHEAD = "ahead"
    BEHIND = "behind"
    LEVEL = "level"
    UNSETTLED = "unsettled"


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One run's number in a cell, in the metric's unit, with its place in the bench day and its room."""

    run: str
    value: float
    boot: str | None = None
    order: int | None = None
    ambient_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsteady:
    """A machine run across a change whose control chart is not at rest, and when these runs of it were made.

    `day` is the mean time of the runs, in days. `a_day` is the log that a drift may move it by each day (0
    where none was found); with `elsewhere` the drift was found in its other tests. `outside` of `days` bench
    days lie outside the limits that those before them set.
    """

    machine: str
    day: float
    a_day: float = 0.0
    elsewhere: bool = False
    outside: int = 0
    days: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A machine that was run under conditions `here` and under others `there`, with its runs of both.

    `unsteady` says of the runs beside and of those across whether its chart is at rest.
    """

    machine: str
    here: str
    there: str
    beside: tuple[Observation, ...]
    across: tuple[Observation, ...]
    unsteady: tuple[Unsteady | None, Unsteady | None] = (None, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Under:
    """The conditions (driver, system, version) that a cell's runs were made under, by name, in order of time.

    `machine` names the machine whatever its conditions, `changed` the stamps that tell conditions apart.
    `of` gives the conditions by run, where they are several. `joined` are the machines that lead from these
    conditions to others of the test, those with most such tests first.
    """

    machine: str
    names: tuple[str, ...]
    changed: tuple[str, ...] = ()
    of: tuple[tuple[str, str], ...] = ()
    joined: tuple[Joint, ...] = ()


class _Hashed:
    """What keeps its hash beside its fields, once it was asked for."""

    __slots__ = ("_hash",)
    _hash: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell(_Hashed):
    """All counting runs of one test on one setup under one metric definition.

    `waiting` counts the runs left out because they wait for a decision; `unjudged` those among them that
    nobody has held against their siblings yet; `set_aside` those set aside.
    `cut_otherwise` are the reasons of its runs that are measured in another window than their siblings.
    `says` are the stamps of its runs (of its setup where no run says) by plain name, each value once; `fixes`
    names those of them that make the test what it is. `under` are the conditions of its runs where the test
    was run under several. `doubt` says that its setup was not what it was said to be, `unsteady` that its
    machine was run across a change and its chart is not at rest.
    """

    test: str
    setup: str
    metric: str
    better: str
    observations: tuple[Observation, ...]
    group: str = ""
    headline: bool = True
    version: str = ""
    locked: bool = False
    waiting: int = 0
    set_aside: int = 0
    unjudged: int = 0
    cut_otherwise: tuple[str, ...] = ()
    says: tuple[tuple[str, tuple[str, ...]], ...] = ()
    fixes: tuple[str, ...] = ()
    under: Under | None = None
    doubt: Caveat | None = None
    unsteady: Unsteady | None = None

    def __hash__(self) -> int:
        """By what tells cells apart as a rule: thousands are looked up. Equality asks for all."""
        try:
            return self._hash
        except AttributeError:
            read = tuple([each.value for each in self.observations])
            told = self.test, self.setup, self.metric, self.headline, self.waiting, self.set_aside, read
            object.__setattr__(self, "_hash", hash(told))
            return self._hash


@dataclass(frozen=True, slots=True, kw_only=True)
class Caveat:
    """A reservation a finding carries: a stable key, words, and apart from them the keys of what they name.

    `words` has a slot for each name, `{setups[0]}` or `{tests}`: a key may be any word of the language, so
    names are never looked for in a sentence. With `each`, the words hold of each of `setups` by itself and
    the names go before them. `waiting` is how many runs it tells of that wait for a decision.
    """

    key: str
    words: str
    waiting: int = 0
    setups: tuple[str, ...] = ()
    tests: tuple[str, ...] = ()
    each: bool = False

    def told(self, setup: Callable[[str], str] = str, test: Callable[[str], str] = str) -> str:
        """The reservation with names in its slots: keys, unless one says what they are called.

        >>> Caveat(key="one-run", words="one run", setups=("a", "b"), each=True).told()
        'a and b, each: one run'
        >>> Caveat(key="k", words="all runs of {setups[0]} came first", setups=("a",)).told({"a": "Ayre"}.get)
        'all runs of Ayre came first'
        """
        setups, tests = list(map(setup, self.setups)), ", ".join(map(test, self.tests))
        said = self.words.format(setups=setups, tests=tests)
        if not self.each:
            return said
        who = setups[0] if len(setups) == 1 else f"{', '.join(setups[:-1])} and {setups[-1]}, each"
        return f"{who}: {said}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settle:
    """What would settle an unsettled finding: `more_runs` for each setup, or None where 12 runs would not."""

    more_runs: int | None
    minutes: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """a over b in one test: `ratio` above 1 means a is better, whatever the metric's direction.

    `low` and `high` bound the ratio at `level` (None without repeats); `p` is two-sided, `p_holm`
    adjusted over the study's family. `measurably` marks level pairs whose interval clears 1;
    `perhaps_small` marks a lead whose interval reaches below the margin: it may be too small to matter.
    `bound_low` and `bound_high` are what was held against the margin: the 90 % interval of the ratio,
    widened by the allowance for errors that repeats cannot show.
    `bridged_by` names who was run under the conditions of both, where the two were measured apart.
    """

    test: str
    metric: str
    a: str
    b: str
    outcome: Outcome
    ratio: float | None
    low: float | None
    high: float | None
    level: float
    n_a: int
    n_b: int
    method: str
    p: float | None = None
    p_holm: float | None = None
    headline: bool = True
    group: str = ""
    measurably: bool = False
    bound_low: float | None = None
    bound_high: float | None = None
    caveats: tuple[Caveat, ...] = ()
    settle: Settle | None = None
    perhaps_small: bool = False
    bridged_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """The index with one test left out; `flips` says that its outcome is another one then."""

    test: str
    ratio: float
    low: float | None
    high: float | None
    outcome: Outcome
    flips: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """The weighted geometric mean of a over b over `tests` ("" as group: all tests).

    `low`, `high`: for these tests, at `level`; `bound_low`, `bound_high`, `perhaps_small`, `bridged_by`: as
    in `Finding`.
    `sample_low`, `sample_high`: tests as a sample. `predicted_low`, `predicted_high`: for a test not run.
    """

    group: str
    a: str
    b: str
    tests: tuple[str, ...]
    ratio: float
    low: float | None
    high: float | None
    level: float
    outcome: Outcome
    sample_low: float | None
    sample_high: float | None
    predicted_low: float | None
    predicted_high: float | None
    method: str
    bound_low: float | None = None
    bound_high: float | None = None
    left_out: tuple[LeftOut, ...] = ()
    missing: tuple[str, ...] = ()
    caveats: tuple[Caveat, ...] = ()
    perhaps_small: bool = False
    bridged_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Exclusion:
    """One left-out run, and what the study says without it, with it, and if it were its setup's only run.

    `findings_*` are the findings of its test that involve its setup; `indexes_*` the indexes that
    hold its test.
    """

    run: str
    test: str
    setup: str
    value: float
    findings_without: tuple[Finding, ...]
    findings_with: tuple[Finding, ...]
    indexes_without: tuple[Index, ...]
    indexes_with: tuple[Index, ...]
    indexes_only: tuple[Index, ...]
    metric: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Everything a study's counting runs say."""

    study: str
    margin: float
    findings: tuple[Finding, ...]
    indexes: tuple[Index, ...]
    exclusions: tuple[Exclusion, ...] = ()
    spread: Mapping[str, float] = field(default_factory=dict)
