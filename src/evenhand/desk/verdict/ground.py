"""What every audience of a study stands on: pairs laid out, and every other way to count."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from evenhand.desk.comparison.cells import further_cells
from evenhand.desk.comparison.findings_now import cells_now, left_out
from evenhand.desk.comparison.known_machines import Known
from evenhand.desk.comparison.putting_back import left_out_across, others_across
from evenhand.desk.latest import Latest
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell
from evenhand.findings.gaps import Gap
from evenhand.records.audiences import Audience, Property
from evenhand.store.rows import as_text
from evenhand.verdicts.grounds import PairGrounds, pair_grounds
from evenhand.verdicts.noise import with_noise
from evenhand.verdicts.others import Other, Twice, others, pairs_of

OTHERWISE = Latest(4)  # what else their runs may say, which audiences of a study share


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
        return (*found, *others_across(record, self.across, properties))

    def _heard(self, pairs: tuple[PairGrounds, ...]) -> tuple[PairGrounds, ...]:
        """With what a sound level meter read beside what was timed, where somebody weighs it."""
        if Property.NOISE not in self.properties:
            return pairs
        return tuple(with_noise(pair, self.noise) for pair in pairs)
