"""Pictures of evidence for lists, drawn once for what they show and kept for whoever looks next."""

from __future__ import annotations

from dataclasses import dataclass, field

from evenhand.desk.bench.masked_pictures import masked_evidence, masked_names
from evenhand.desk.bench.masking import mask_of
from evenhand.desk.latest import Latest
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.evidence import Judge, judge
from evenhand.publish.figures.evidence import evidence_picture
from evenhand.publish.figures.evidence_small import evidence_stamp
from evenhand.publish.picture import Picture
from evenhand.publish.style import page
from evenhand.records.faults import Fault
from evenhand.records.states import holding
from evenhand.store.judged import judged_on
from evenhand.store.workbench import Workbench

DRAWN = 400  # pictures that are kept: some 30 kB each
TESTS = 2  # tests whose runs are kept loaded for the next fault of theirs


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawings:
    """Draws the evidence of runs; what triage judged it on is the key, so that a change draws it anew."""

    wb: Workbench
    _drawn: Latest = field(default_factory=lambda: Latest(DRAWN))
    _judges: Latest = field(default_factory=lambda: Latest(TESTS))

    def stamp(self, record: StudyOnRecord, each: RunOnRecord, *, masked: bool = False) -> Picture | None:
        """The first thing found in a run as a small picture; None where there is nothing to draw."""
        fault = chief_fault(each)
        if fault is None:
            return None
        drawn = self._of(record, each, fault, small=True, masked=masked)
        return drawn[0] if drawn else None

    def evidence(
        self, record: StudyOnRecord, each: RunOnRecord, fault: Fault, *, masked: bool = False
    ) -> tuple[Picture, ...]:
        """One fault of a run as pictures for its own page; none where there is nothing to draw."""
        return self._of(record, each, fault, small=False, masked=masked)

    def _of(
        self, record: StudyOnRecord, each: RunOnRecord, fault: Fault, *, small: bool, masked: bool
    ) -> tuple[Picture, ...]:
        study, test = each.run.study, each.run.test
        basis = judged_on(self.wb, study).get(test, "")
        key = (basis, each.run.id, repr(fault), repr(names_of(record)), small, masked)

        def draw() -> tuple[Picture, ...]:
            by = self._judges.of((study, test, basis), lambda: judge(self.wb))
            return drawn_by(by, record, each, fault, small=small, masked=masked)

        return self._drawn.of(key, draw)


def chief_fault(each: RunOnRecord) -> Fault | None:
    """The fault that is told of a run first: one that holds it, or else its first note."""
    return next(iter((*holding(each.faults), *each.faults)), None)


def drawn_by(
    by: Judge, record: StudyOnRecord, each: RunOnRecord, fault: Fault, *, small: bool, masked: bool
) -> tuple[Picture, ...]:
    """The evidence drawn; nothing where the log left nothing to look at."""
    evidence, names = by.evidence(each, fault), names_of(record)
    if evidence is None or (evidence.trace is None and evidence.below is None):
        return ()
    if masked:
        mask = record.once("mask", mask_of)
        names, evidence = masked_names(names, mask), masked_evidence(evidence, mask, each.run.id)
    if small:
        return (evidence_stamp(evidence, names),)
    return evidence_picture(evidence, names, style=page())
