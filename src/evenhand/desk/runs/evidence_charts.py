"""Draw what decisions rest on: the evidence of one run, or of all runs of a study that are held."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.bench.masked_pictures import masked_evidence, masked_names, own_masked_run
from evenhand.desk.bench.masking import Mask, mask_of, masked_id
from evenhand.desk.comparison.charting import (
    Drawn,
    Set,
    draw_study,
    draw_trace,
    drawn_names,
    file_word,
    numbered,
    own_run,
)
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.runs.evidence import Judge, judge
from evenhand.desk.study.terms import changed_terms
from evenhand.errors import NotFound
from evenhand.publish.figures.evidence import evidence_picture
from evenhand.publish.palette import Theme
from evenhand.publish.style import Style, card
from evenhand.records.faults import Fault
from evenhand.records.runs import RunState
from evenhand.records.states import holding
from evenhand.records.tests import Measures
from evenhand.store.workbench import Workbench

MOST = 24  # pictures of evidence with a study: more than one looks through at once
WAITING = (RunState.IN_DOUBT, RunState.SET_ASIDE, RunState.REPLACED)  # whose evidence a study's pictures show

SAME_IN_CELL = "another run of the same test and setup shows it"
TOO_MANY = f"there are {MOST} pictures of evidence without it"
NOTHING_TO_SEE = "its log left nothing to draw"


@dataclass(frozen=True, slots=True, kw_only=True)
class NotDrawn:
    """One fault of one run that has no picture here, and why."""

    run: str
    label: str
    kind: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Charts:
    """Pictures, and the evidence that was left out of them."""

    drawn: tuple[Drawn, ...]
    not_drawn: tuple[NotDrawn, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One fault of one run, to be drawn."""

    each: RunOnRecord
    fault: Fault

    @property
    def name(self) -> str:
        """The file name of its picture, without ending."""
        return evidence_name(self.each.run.id, self.fault.kind)

    def left_out(self, why: str) -> NotDrawn:
        """The same, told as not drawn."""
        return NotDrawn(run=self.each.run.id, label=self.each.run.label, kind=self.fault.kind, why=why)


def chart_asked(
    wb: Workbench, study: str, run: str | None, *, masked: bool, dark: bool, now: datetime
) -> Charts:
    """The pictures of a whole study, or of one run by its name (by its masked id where names are hidden)."""
    if run is None and masked:
        return chart_study_masked(wb, study, dark=dark)
    if run is None:
        return chart_study(wb, study, now=now, dark=dark)
    draw = chart_run_masked if masked else chart_run
    return draw(wb, study, run, dark=dark)


def chart_study(wb: Workbench, study: str, *, now: datetime, dark: bool = False) -> Charts:
    """Every picture of a study, and the evidence of its runs in doubt or set aside."""
    record, style = load_study(wb, study), style_of(dark=dark)
    items, left = chosen(record)
    evidence = draw_evidence(judge(wb), items, record, style)
    return Charts(
        drawn=(*draw_study(wb, study, now=now, dark=dark), *evidence.drawn),
        not_drawn=(*left, *evidence.not_drawn),
    )


def chart_study_masked(wb: Workbench, study: str, *, dark: bool = False) -> Charts:
    """The evidence of a study's runs in doubt or set aside, the names of its builds hidden.

    Nothing else of the study: its other pictures tell builds by their numbers.
    """
    record = load_study(wb, study)
    mask, (items, left) = mask_of(record), chosen(record)
    evidence = draw_evidence(judge(wb), items, record, style_of(dark=dark), mask=mask)
    return in_masked_order((*map(masked_left, left), *evidence.not_drawn), evidence.drawn)


def chart_run_masked(wb: Workbench, study: str, code: str, *, dark: bool = False) -> Charts:
    """As chart_run, for the run of a masked id, the names of builds hidden. Raises NotFound likewise."""
    record = load_study(wb, study)
    mask, each = mask_of(record), own_masked_run(wb, record, code)
    with mask.errors():
        return draw_one(judge(wb), each, record, style_of(dark=dark), mask=mask)


def in_masked_order(left: Sequence[NotDrawn], drawn: Sequence[Drawn]) -> Charts:
    """By masked id: the order in which runs came would tell theirs."""
    return Charts(
        drawn=tuple(sorted(drawn, key=lambda one: one.name)),
        not_drawn=tuple(sorted(left, key=lambda one: (one.run, one.kind))),
    )


def masked_left(one: NotDrawn) -> NotDrawn:
    """The same under the run's masked id."""
    return replace(one, run=masked_id(one.run), label=masked_id(one.run))


def chart_run(wb: Workbench, study: str, name: str, *, dark: bool = False) -> Charts:
    """One run's trace with its faults marked, and the evidence for each of them, notes too.

    Raises NotFound where the study holds no such run, or where there is nothing to draw.
    """
    record = load_study(wb, study)
    return draw_one(judge(wb), own_run(wb, record, name), record, style_of(dark=dark))


def draw_one(
    by: Judge, each: RunOnRecord, record: StudyOnRecord, style: Style, *, mask: Mask | None = None
) -> Charts:
    """The trace of one run and its evidence. Raises NotFound where there is nothing to draw."""
    items = [Item(each=each, fault=fault) for fault in each.faults]
    evidence = draw_evidence(by, items, record, style, mask=mask)
    if record.tests[each.run.test].measures is Measures.FRAMES:
        trace = draw_trace(by.wb, record, each, style, mask=mask)
        return replace(evidence, drawn=(*trace, *evidence.drawn))
    if not evidence.drawn:
        raise NotFound(
            "a score run has no trace to draw, and nothing was found in this one",
            where=each.run.label,
            todo="name a run with frames, or one with a fault",
        )
    return evidence


def evidence_name(run: str, kind: str) -> str:
    """The file name of a picture of evidence, without ending.

    >>> evidence_name("3f9a", "rate-cap")
    'evidence-3f9a-rate-cap'
    """
    return f"evidence-{run}-{file_word(kind)}"


def style_of(*, dark: bool) -> Style:
    """The card that pictures are drawn on."""
    return card(Theme.DARK if dark else Theme.LIGHT)


def chosen(record: StudyOnRecord) -> tuple[list[Item], list[NotDrawn]]:
    """What a study shows, runs that wait before those set aside, and what it leaves out.

    One picture for each kind that holds runs of a cell: five runs at one cap look alike.
    """
    items: list[Item] = []
    left: list[NotDrawn] = []
    shown: set[tuple[str, str, str]] = set()
    for item in holding_items(record):
        run = item.each.run
        like = (run.test, run.setup, item.fault.kind)
        if like in shown:
            left.append(item.left_out(SAME_IN_CELL))
        elif len(items) == MOST:
            left.append(item.left_out(TOO_MANY))
        else:
            items.append(item)
        shown.add(like)
    return items, left


def holding_items(record: StudyOnRecord) -> Iterator[Item]:
    """Every fault that holds a run which waits or was left out, those that wait first."""
    waiting = [each for each in record.runs if each.state in WAITING]
    for each in sorted(waiting, key=lambda each: WAITING.index(each.state)):
        for fault in holding(each.faults):
            yield Item(each=each, fault=fault)


def draw_evidence(
    by: Judge, items: Sequence[Item], record: StudyOnRecord, style: Style, *, mask: Mask | None = None
) -> Charts:
    """A picture of each of these, under masked names where a mask is given, and those with nothing to see."""
    changed = changed_terms(by.wb, record)
    sets: list[Set] = []
    left = []
    for item in items:
        run, evidence = item.each.run, by.evidence(item.each, item.fault)
        if evidence is None:
            told = item.left_out(NOTHING_TO_SEE)
            left.append(told if mask is None else masked_left(told))
            continue
        names, name = drawn_names(record, changed, test=run.test), item.name
        if mask is not None:
            names, evidence = masked_names(names, mask), masked_evidence(evidence, mask, run.id)
            name = evidence_name(masked_id(run.id), item.fault.kind)
        sets.append(Set(name, evidence_picture(evidence, names, style=style)))
    return Charts(drawn=tuple(numbered(sets, style)), not_drawn=tuple(left))


def not_drawn_answer(one: NotDrawn) -> dict[str, str]:
    """One fault without a picture, for JSON."""
    return {"run": one.run, "label": one.label, "kind": one.kind, "why": one.why}
