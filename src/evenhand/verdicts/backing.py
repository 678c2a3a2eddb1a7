"""All that a sentence about two setups may stand on, and how to ask it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from evenhand.errors import NotFound, nearest
from evenhand.findings.cause import Cause
from evenhand.findings.drifting import unsteady_in
from evenhand.findings.finding import Caveat, Cell, Comparison, Finding, Index, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.metrics.wall import WALL_POWER
from evenhand.verdicts.claim_words import BRIDGED, REASONS, SENTENCES, UNSTEADY
from evenhand.verdicts.claims import As, Kind, Said, Slot, Value
from evenhand.verdicts.verdict import Verdict

SIDES = {Outcome.AHEAD: "ahead", Outcome.BEHIND: "behind", Outcome.LEVEL: "level"}
TURNED = {Outcome.AHEAD: Outcome.BEHIND, Outcome.BEHIND: Outcome.AHEAD}


@dataclass(frozen=True, slots=True, kw_only=True)
class Backing:
    """What is on record of setup a over setup b, in the order in which the comparison has them.

    `comparison` is the whole study's. `causes` are those of this pair, None where nobody asked; `verdict` is
    that of one audience, `without` the audience that was asked for and has none; `priced_on` the day of each
    setup's price, `priced_elsewhere` those that have one in another currency only. `gaps` and `power` are
    other evidence of the study: sound and temperature, and findings in watts and joules a frame, which tests
    that are `framed` have. `cells` count runs and boots.
    """

    a: str
    b: str
    comparison: Comparison
    cells: tuple[Cell, ...] = ()
    causes: tuple[Cause, ...] | None = None
    verdict: Verdict | None = None
    without: str = ""
    priced_on: Mapping[str, date] = field(default_factory=dict)
    priced_elsewhere: frozenset[str] = frozenset()
    gaps: tuple[Gap, ...] = ()
    power: tuple[Finding, ...] = ()
    framed: frozenset[str] = frozenset()

    @property
    def margin(self) -> float:
        """The smallest difference that matters, as a share."""
        return self.comparison.margin

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The headline findings of the pair."""
        return tuple(f for f in self.comparison.findings if (f.a, f.b) == (self.a, self.b) and f.headline)

    @property
    def called(self) -> dict[str, Outcome]:
        """By test, who is ahead, where one is."""
        return {f.test: f.outcome for f in self.findings if f.outcome in TURNED}

    @property
    def setups(self) -> tuple[str, ...]:
        """Every setup that the study compares."""
        return tuple(dict.fromkeys(s for f in self.comparison.findings for s in (f.a, f.b)))

    @property
    def indexes(self) -> dict[str, Index]:
        """The indexes of the pair by group, "" being all tests."""
        return {i.group: i for i in self.comparison.indexes if (i.a, i.b) == (self.a, self.b)}

    def finding(self, test: str) -> Finding | None:
        """The headline finding of a test; None where the test has none."""
        return next((f for f in self.findings if f.test == test), None)

    def outcome(self, first: str, other: str, about: str) -> Outcome | None:
        """How one setup stands to another in a test, over a group, or in noise or power wherever it was read.

        None where nothing says, or not everything says the same.
        """
        seen = {
            one.outcome if one.a == first else TURNED.get(one.outcome, one.outcome)
            for one in self._results(about)
            if {one.a, one.b} == {first, other}
        }
        return seen.pop() if len(seen) == 1 else None

    def _results(self, about: str) -> Sequence[Finding | Index | Gap]:
        if about == Kind.NOISE:
            return [gap for gap in self.gaps if gap.topic is Topic.SOUND]
        if about == Kind.POWER:
            return [finding for finding in self.power if finding.metric == WALL_POWER]
        tests = [f for f in self.comparison.findings if f.test == about and f.headline]
        return tests or [i for i in self.comparison.indexes if i.group == about]

    def runs(self, tests: Collection[str]) -> int:
        """How many runs of the pair stand behind these tests."""
        return sum(len(cell.observations) for cell in self._own(tests))

    def boots(self) -> int:
        """Over how many boots of the pair its runs were made, as far as boots are on record."""
        own = self._own({f.test for f in self.findings})
        return len({(c.setup, o.boot) for c in own for o in c.observations if o.boot is not None})

    def _own(self, tests: Collection[str]) -> list[Cell]:
        return [c for c in self.cells if c.setup in (self.a, self.b) and c.test in tests and c.headline]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A sentence that somebody wants to say: its kind, what about, who is ahead in it, in which tests.

    `about` is a test, group, kind of part or topic, as its kind asks; `says` None takes whatever was found;
    `tests` () speaks of all.
    """

    kind: Kind
    about: str = ""
    says: Outcome | None = None
    tests: tuple[str, ...] = ()

    def fits(self, outcome: Outcome) -> bool:
        """Whether what was found is called, and not otherwise than is said."""
        return outcome in SIDES and self.says in (None, outcome)


def check(asked: Asked, backing: Backing) -> None:
    """Raise NotFound where the sentence names a pair or a test that the study has not."""
    if not backing.findings:
        raise NotFound(
            f"no finding of {backing.a} over {backing.b}", where=f"study {backing.comparison.study}",
            todo="name two setups of the study, the first one first",
        )  # fmt: skip
    known = {f.test for f in backing.comparison.findings}
    for test in asked.tests:
        if test and test not in known:
            raise NotFound(f"no test {test}", where="a sentence to be published", todo=nearest(test, known))


def reason(key: str, **slots: Slot) -> Said:
    """A reason of `claim_words.REASONS` with its slots."""
    return Said(key=key, words=REASONS[key], slots=slots)


def sentence(key: str, **slots: Slot) -> Said:
    """A sentence of `claim_words.SENTENCES` with its slots."""
    return Said(key=key, words=SENTENCES[key], slots=slots)


def bridged(said: Said, by: Collection[str], *, words: str = BRIDGED) -> Said:
    """The same, naming who bridges what was measured apart, where somebody does."""
    if not by:
        return said
    slots = {**said.slots, "bridges": of(As.SETUP, *dict.fromkeys(by))}
    return replace(said, words=said.words.removesuffix(".") + words, slots=slots)


def on_unsteady(said: Said | None, backing: Backing) -> Said | None:
    """The same, saying of who bridges that it did not stay as it was, where its control chart shows that."""
    bridges = said.slots.get("bridges") if said else None
    if said is None or bridges is None:
        return said
    carried = (caveat for finding in backing.comparison.findings for caveat in finding.caveats)
    restless = {setup for caveat in unsteady_in(carried) for setup in caveat.setups}
    who = [setup for setup in bridges.values if setup in restless]
    if not who:
        return said
    slots = {**said.slots, "restless": of(As.SETUP, *who)}
    return replace(said, words=said.words.removesuffix(".") + UNSTEADY, slots=slots)


def of(sort: As, *values: Value) -> Slot:
    """A slot."""
    return Slot(sort=sort, values=values)


def counted(n: int, thing: str) -> Slot:
    """A count with its noun, which takes an s where there are several."""
    return of(As.COUNT, n, thing)


def pair_slots(backing: Backing) -> dict[str, Slot]:
    """The two setups and the margin."""
    return {
        "a": of(As.SETUP, backing.a),
        "b": of(As.SETUP, backing.b),
        "margin": of(As.SHARE, backing.margin),
    }


def range_over(low: float, high: float, backing: Backing, *, behind: bool) -> dict[str, Slot]:
    """A range of ratios a over b and who is over whom in it; where `behind` both are turned, b over a."""
    first, other = (backing.b, backing.a) if behind else (backing.a, backing.b)
    ends = (1 / high, 1 / low) if behind else (low, high)
    return {
        "range": of(As.RANGE, *ends), "first": of(As.SETUP, first), "other": of(As.SETUP, other),
    }  # fmt: skip


def speaks_of_b(asked: Asked, ratio: float | None) -> bool:
    """Whether a sentence is about b being in front: as it says, else as was found."""
    return asked.says is Outcome.BEHIND if asked.says in TURNED else ratio is not None and ratio < 1


def from_caveat(caveat: Caveat) -> Said:
    """A reservation of a finding as words with slots."""
    slots = {f"setup{i}": of(As.SETUP, key) for i, key in enumerate(caveat.setups)}
    words = caveat.words
    for i in range(len(caveat.setups)):
        words = words.replace(f"{{setups[{i}]}}", f"{{setup{i}}}")
    if caveat.each:
        words = f"{{setups}}{', each' if len(caveat.setups) > 1 else ''}: {words}"
    rows = {"setups": of(As.SETUP, *caveat.setups), "tests": of(As.TEST, *caveat.tests)}
    slots |= {name: slot for name, slot in rows.items() if slot.values}
    return Said(key=caveat.key, words=words, slots=slots)
