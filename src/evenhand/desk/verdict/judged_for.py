"""For every audience of a study: how its setups stand, how firmly, and what would flip it."""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from evenhand.desk.comparison.cells import further_cells
from evenhand.desk.comparison.findings_now import cells_now, left_out
from evenhand.desk.comparison.known_machines import Known, known_of
from evenhand.desk.comparison.other_evidence import other_evidence
from evenhand.desk.comparison.putting_back import left_out_across, others_across
from evenhand.desk.latest import Latest
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.study.pricing import paid_now
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell
from evenhand.findings.gaps import Gap
from evenhand.money.paid import Paid
from evenhand.publish.names import Names
from evenhand.records.audiences import Audience, Property
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench
from evenhand.verdicts.among import Among, among
from evenhand.verdicts.case import Case
from evenhand.verdicts.counted import levers
from evenhand.verdicts.flips import flips
from evenhand.verdicts.front_pair import FrontPair, front_pair
from evenhand.verdicts.grounds import PairGrounds, pair_grounds
from evenhand.verdicts.joint_flips import joint_flips
from evenhand.verdicts.moves import Flip, Lever
from evenhand.verdicts.noise import with_noise
from evenhand.verdicts.others import Other, Twice, others, pairs_of
from evenhand.verdicts.reading import lay_pairs
from evenhand.verdicts.verdict import Verdict, verdicts
from evenhand.verdicts.wobble import Wobble, wobble

ALIKE = "all-tests"  # the stand-in for a study that names no audience

LATELY = Latest(32)  # audiences of the studies that are being looked at
OTHERWISE = Latest(4)  # what else their runs may say, which audiences of a study share


@dataclass(frozen=True, slots=True, kw_only=True)
class ForAudience:
    """One audience with a verdict on each pair; `trouble` says why there is none.

    `flips` are the smallest single changes that turn something, smallest first; `wobbles` how often a verdict
    holds where the weights are a little other, by pair. `stand_in` marks the study's own index, shown where
    no audience is on record. `tried` are the things that were moved, by pair.
    """

    audience: Audience
    case: Case
    verdicts: tuple[Verdict, ...] = ()
    flips: tuple[Flip, ...] = ()
    wobbles: Mapping[tuple[str, str], Wobble | None] = field(default_factory=dict)
    trouble: BadRecord | None = None
    stand_in: bool = False
    tried: Mapping[tuple[str, str], frozenset[Lever]] = field(default_factory=dict)

    def verdict(self, a: str, b: str) -> Verdict | None:
        """The verdict on a pair as it is laid out, if there is one."""
        return next((v for v in self.verdicts if (v.a, v.b) == (a, b)), None)

    @property
    def among(self) -> Among | None:
        """Who is ahead of all, and by value, among three setups and more."""
        return among(self.verdicts, [(pair.a, pair.b) for pair in self.case.pairs])

    @property
    def front(self) -> FrontPair | None:
        """Which pair matters most, among three setups and more."""
        return front_pair(self.verdicts, fixed_minor=self.audience.fixed_minor)

    @property
    def front_first(self) -> tuple[Verdict, ...]:
        """The verdicts, that on the pair that matters most before all others."""
        first = None if (front := self.front) is None else front.pair
        return tuple(sorted(self.verdicts, key=lambda each: (each.a, each.b) != first))


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """Every audience of a study, the prices that were held against each other, and what all is called."""

    audiences: tuple[ForAudience, ...]
    paid: Paid
    names: Names

    @property
    def stand_in(self) -> bool:
        """Whether the study names no audience, so that its own index stands in."""
        return any(each.stand_in for each in self.audiences)


def judged_for(wb: Workbench, record: StudyOnRecord, *, only: str | None = None) -> Judgement:
    """Verdicts for every audience of the study, or on its own index where it names none.

    `only` asks for one audience by its key; what it stands on is laid out as for all, so that its numbers are
    the same. Raises NotFound with the nearest key.
    """
    paid = paid_now(wb, record)
    told = record.study.audiences
    audiences = told or (all_alike(record),)
    if only is not None and only not in (known := [each.key for each in audiences]):
        raise NotFound(f"no audience is called '{only}'", where="this study", todo=nearest(only, known))
    ground = Ground.of(record, audiences, other_evidence(wb, record).noise)
    ground = replace(ground, known=known_of(wb, record))
    asked = [each for each in audiences if only in (None, each.key)]
    made = tuple(_for_audience(each, ground, record, paid, stand_in=not told) for each in asked)
    return Judgement(audiences=made, paid=paid, names=names_of(record))


def all_alike(record: StudyOnRecord) -> Audience:
    """Who cares for every test as the study weighs it: the verdict is then the study's index."""
    weights = {key: record.study.weights.get(key, 1.0) for key in record.study.tests}
    return Audience(key=ALIKE, name="All tests alike", tests=weights)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What all audiences of a study stand on: pairs laid out, and every other way to count."""

    properties: frozenset[Property]
    cells: tuple[Cell, ...]
    pairs: tuple[PairGrounds, ...]
    left_out: tuple[LeftOutRun, ...]
    noise: tuple[Gap, ...] = ()
    known: Known = field(default_factory=dict)
    across: tuple[RunOnRecord, ...] = ()

    @property
    def said(self) -> tuple[object, ...]:
        """All that verdicts on it depend on, beside the study and the audience."""
        across = tuple((each.run, each.metrics) for each in self.across)
        return self.cells, self.left_out, self.noise, tuple(self.known.items()), as_text(across)

    @classmethod
    def of(cls, record: StudyOnRecord, audiences: tuple[Audience, ...], noise: tuple[Gap, ...]) -> Ground:
        """The ground of a study under everything that one of its audiences weighs."""
        properties = frozenset(p for each in audiences for p, w in each.properties.items() if w > 0)
        cells = (*cells_now(record), *further_cells(record, properties))
        found = cls(
            properties=properties, cells=cells, left_out=tuple(left_out(record)),
            pairs=pair_grounds(cells, study=record.study, properties=properties | {Property.SPEED}),
            noise=noise, across=left_out_across(record),
        )  # fmt: skip
        return replace(found, pairs=found._heard(found.pairs))

    def others(self, record: StudyOnRecord) -> tuple[Other, ...]:
        """Every left-out run put back and every other definition."""
        return OTHERWISE.of(
            (*self._said_of(record), "heard"),
            lambda: tuple(replace(each, pairs=self._heard(each.pairs)) for each in self._others(record)),
        )

    def two_others(self, record: StudyOnRecord) -> tuple[Twice, ...]:
        """Every two of them that touch different tests, and what stands after both."""
        found = pairs_of(self._others(record), study=record.study)
        return tuple((one, then, self._heard(pairs)) for one, then, pairs in found)

    def _said_of(self, record: StudyOnRecord) -> tuple[object, ...]:
        return (*self.said, self.properties, as_text(record.study))

    def _others(self, record: StudyOnRecord) -> tuple[Other, ...]:
        """All of them without what a sound level meter read."""
        return OTHERWISE.of(self._said_of(record), lambda: self._made_others(record))

    def _made_others(self, record: StudyOnRecord) -> tuple[Other, ...]:
        properties, apart = self.properties | {Property.SPEED}, {each.run.id for each in self.across}
        inside = [run for run in self.left_out if run.observation.run not in apart]
        found = others(self.cells, inside, study=record.study, properties=properties)
        return (*found, *others_across(record, properties))

    def _heard(self, pairs: tuple[PairGrounds, ...]) -> tuple[PairGrounds, ...]:
        """With what a sound level meter read beside what was timed, where somebody weighs it."""
        if Property.NOISE not in self.properties:
            return pairs
        return tuple(with_noise(pair, self.noise) for pair in pairs)


def _for_audience(
    audience: Audience, ground: Ground, record: StudyOnRecord, paid: Paid, *, stand_in: bool
) -> ForAudience:
    case = Case(
        audience=audience, study=record.study, tests=record.compared_tests, pairs=ground.pairs,
        prices=paid.minor, known=ground.known,
    )  # fmt: skip
    said = (*ground.said, as_text(record.study), as_text(audience), as_text(paid.minor))
    return LATELY.of(said, lambda: _judged(case, ground, record, stand_in=stand_in))


def _judged(case: Case, ground: Ground, record: StudyOnRecord, *, stand_in: bool) -> ForAudience:
    others_now = ground.others(record)
    try:
        found, turned = verdicts(case), flips(case, others_now)  # without a pair only flips look at weights
    except BadRecord as trouble:
        return ForAudience(audience=case.audience, case=case, trouble=trouble, stand_in=stand_in)
    return ForAudience(
        audience=case.audience, case=case, verdicts=found, stand_in=stand_in,
        flips=_of_two_machines(turned, found),
        tried={
            (each.a, each.b): levers(case, (each.a, each.b), others_now)
            for each in found
            if not each.is_of_one_machine
        },
        wobbles={
            pair: None if _is_open(pair, found) else chance for pair, chance in _wobbles(case).items()
        },
    )  # fmt: skip


def _of_two_machines(found: tuple[Flip, ...], judged: tuple[Verdict, ...]) -> tuple[Flip, ...]:
    """Without those of a machine beside itself, whose verdict nothing can turn."""
    alike = {(each.a, each.b) for each in judged if each.is_of_one_machine}
    return tuple(flip for flip in found if (flip.a, flip.b) not in alike)


def _is_open(pair: tuple[str, str], judged: tuple[Verdict, ...]) -> bool:
    """Whether no chance can be told: something weighed has no number to draw, or the two are one machine."""
    return any((each.a, each.b) == pair and (each.missing > 0 or each.is_of_one_machine) for each in judged)


def _wobbles(case: Case) -> dict[tuple[str, str], Wobble | None]:
    found = {}
    for pair in lay_pairs(case):
        place = (pair.grounds.a, pair.grounds.b)
        # The same question has the same answer every time it is asked.
        rng = np.random.default_rng(zlib.crc32("~".join((case.audience.key, *place)).encode()))
        found[place] = wobble(case, pair, rng)
    return found


def two_at_once(wb: Workbench, record: StudyOnRecord, judged: ForAudience) -> tuple[Flip, ...]:
    """The smallest pairs of changes that turn something for this audience."""
    ground = _ground_of_two(wb, record, judged)
    found = LATELY.of(_key_of_two(record, judged, ground), lambda: _two(judged, ground, record))
    return _of_two_machines(found, judged.verdicts)


def two_are_known(wb: Workbench, record: StudyOnRecord, judged: ForAudience) -> bool:
    """Whether `two_at_once` has been worked out already."""
    return LATELY.has(_key_of_two(record, judged, _ground_of_two(wb, record, judged)))


def _ground_of_two(wb: Workbench, record: StudyOnRecord, judged: ForAudience) -> Ground:
    return Ground.of(record, record.study.audiences or (judged.audience,), other_evidence(wb, record).noise)


def _key_of_two(record: StudyOnRecord, judged: ForAudience, ground: Ground) -> tuple[object, ...]:
    said = as_text(record.study), as_text(judged.audience), as_text(judged.case.prices)
    return ("two", *ground.said, *said)


def _two(judged: ForAudience, ground: Ground, record: StudyOnRecord) -> tuple[Flip, ...]:
    others = ground.others(record)
    return joint_flips(judged.case, others, judged.flips, two_others=ground.two_others(record))
