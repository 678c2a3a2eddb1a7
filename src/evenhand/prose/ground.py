"""All that a script is held against: figures, names, what every pair stands on, prices and disclosures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from evenhand.findings.finding import Outcome
from evenhand.prose.quotable import Quotable
from evenhand.prose.quotables import Quotables
from evenhand.publish.names import Names
from evenhand.records.builds import Part
from evenhand.records.prices import Currency, Price
from evenhand.records.publications import How
from evenhand.records.tests import Test
from evenhand.tuning.figured import TunedFigure
from evenhand.tuning.held import Held
from evenhand.verdicts.backing import TURNED, Backing
from evenhand.verdicts.claims import Voice

NOBODY = ""  # the audience of a backing without a verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A study as its script may speak of it.

    `backings` are by audience (`NOBODY`: none), a and b, each pair once; `inside` the keys of the parts in
    each setup; `disclosures` how the reviewer came by a part, by its key. `money_words` are what an amount is
    called beside the currency's symbol. `leanings` name the
    group of tests that has most of an audience's weight, None where none has; no audience without a verdict.
    `held` are points of tuned parts with what their hours claim, `figured` what else is known of these parts.
    """

    names: Names
    setups: tuple[str, ...]
    tests: tuple[Test, ...]
    quotables: Quotables
    backings: Mapping[tuple[str, str, str], Backing]
    voice: Voice
    audiences: Mapping[str, str] = field(default_factory=dict)
    parts: tuple[Part, ...] = ()
    inside: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    prices: Mapping[str, Price] = field(default_factory=dict)
    currency: Currency | None = None
    money_words: tuple[str, ...] = ()
    disclosures: Mapping[str, tuple[How, ...]] = field(default_factory=dict)
    margin: float = 0.0
    leanings: Mapping[str, str | None] = field(default_factory=dict)
    held: tuple[Held, ...] = ()
    figured: tuple[TunedFigure, ...] = ()

    def backing(self, first: str, other: str, audience: str = NOBODY) -> tuple[Backing | None, bool]:
        """What a pair stands on, and whether it stands there the other way round; None where nothing is."""
        there = self.backings.get((audience, first, other))
        return (there, False) if there else (self.backings.get((audience, other, first)), True)

    def called(self) -> Ground:
        """Keys, groups and how audiences are called: nothing that was measured or paid, and no other name.

        A sentence with signs for names is understood by this alone, and by what its references are about.
        """
        return replace(
            self, tests=tuple(map(_key_and_group, self.tests)), names=Names(setups={}, tests={}),
            parts=tuple(Part(key=each.key, kind=each.kind, name="") for each in self.parts),
            backings={}, voice={}, prices={}, disclosures={}, margin=0.0,
            held=(), figured=(),
        ).quoting({})  # fmt: skip

    def quoting(self, figures: Mapping[str, Quotable]) -> Ground:
        """The same with no other figures than these, by address."""
        return replace(self, quotables=replace(self.quotables, figures=figures, without={}))

    def group_tests(self, group: str) -> tuple[str, ...]:
        """The tests of a group, all of them for ""."""
        return tuple(test.key for test in self.tests if not group or test.group == group)

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups of tests."""
        return tuple(dict.fromkeys(test.group for test in self.tests if test.group))

    def kinds_of(self, part: str) -> str:
        """What sort of part a key is of."""
        return next((each.kind for each in self.parts if each.key == part), "")

    def alike(self, kind: str, setups: tuple[str, ...]) -> bool:
        """Whether these setups have the same part of a kind."""
        own = {p.key for p in self.parts if p.kind == kind}
        held = {tuple(sorted(own & set(self.inside.get(setup, ())))) for setup in setups or self.setups}
        return len(held) == 1 and held != {()}


def oriented(says: Outcome | None, *, turned: bool) -> Outcome | None:
    """An outcome of the first over the other, as the backing has the pair."""
    return TURNED.get(says, says) if turned and says is not None else says


def _key_and_group(test: Test) -> Test:
    return Test(
        key=test.key, name="", measures=test.measures, metric="", unit="", direction=test.direction,
        group=test.group,
    )  # fmt: skip
