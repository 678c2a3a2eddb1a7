"""What a person says of a file that waits: what its columns are, and which run it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from evenhand.desk.bench.filed_names import filed_as
from evenhand.desk.bench.inbox import look_inside, one_waiting
from evenhand.desk.bench.landing import Landed, land
from evenhand.desk.bench.matching import Proposal, filing_of
from evenhand.desk.bench.placing import put_away, standing
from evenhand.desk.bench.uploading import BESIDE
from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.layouts import remember
from evenhand.errors import BadRecord
from evenhand.folders.checks import check_layout
from evenhand.folders.study_folder import LayoutEntry
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.plans import Arrival
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench


def layout_said(wb: Workbench, number: int, kind: LogKind, columns: Sequence[Column]) -> Layout:
    """The columns of a file that waits, as a person says. Raises BadRecord where no such log has them."""
    arrival = arrivals.arrival(wb, number)
    look = look_inside(wb, arrival)
    if look.question is None:
        raise BadRecord(look.trouble, where=arrival.name, todo="put it away, or send the file again")
    return answered(look.question, kind, columns)


def answered(asked: Question, kind: LogKind, columns: Sequence[Column]) -> Layout:
    """The layout that answers a question. Raises BadRecord where no log of that kind has such columns."""
    used = tuple(column for column in columns if column.role is not Role.IGNORED)
    problems = list(check_layout(LayoutEntry(name="said", kind=kind, columns=used), 0))
    if problems:
        todo = next((problem.todo for problem in problems if problem.todo), "say of each column what it is")
        raise BadRecord("; ".join(p.found for p in problems), where=asked.file, todo=todo)
    return replace(asked.layout, kind=kind, columns=used)


def confirm_said(
    wb: Workbench, asked: Question, kind: LogKind, columns: Sequence[Column], *, now: datetime
) -> None:
    """Remember what a person says of the columns of a header. Raises BadRecord."""
    remember(wb, answered(asked, kind, columns), now=now)


def file_as(
    wb: Workbench,
    number: int,
    chosen: Proposal,
    *,
    facts: Mapping[str, Any],
    layout: Layout | None,
    by: str,
    now: datetime,
) -> Landed:
    """File what waits as the run that a person says; `facts` go before those that came with it.

    A slot of the plan is kept where test and setup are those of the proposal. Raises BadLog or BadRecord
    where it cannot be, or where somebody has filed it meanwhile.
    """
    arrival = still_waiting(wb, number)
    guess = one_waiting(wb, number).proposal
    same = (guess.study, guess.test, guess.setup) == (chosen.study, chosen.test, chosen.setup)
    filing = filing_of(wb, arrival, guess if same else chosen)
    if filing is None:
        raise BadRecord(
            "nobody has said which run it is", where=arrival.name, todo="choose its test and its setup"
        )
    return land(wb, arrival, replace(filing, **facts), by=by, now=now, layout=layout)


def still_waiting(wb: Workbench, number: int) -> Arrival:
    """An arrival that is no run yet. Raises BadRecord where somebody has filed it meanwhile, and NotFound."""
    arrival = arrivals.arrival(wb, number)
    last = standing(wb, number)
    if last is not None and last.run is not None:
        raise BadRecord(
            f"it was filed as {filed_as(wb, last.study, last.run)} meanwhile",
            where=arrival.name,
            todo="look at that run; if it should not count, set it aside there",
        )
    return arrival


def confirm_sensors(wb: Workbench, number: int, layout: Layout, *, by: str, now: datetime) -> None:
    """Remember what the columns of a sensor log are; it leaves the inbox until its run comes."""
    still_waiting(wb, number)
    with wb.writing():
        remember(wb, layout, now=now)
        put_away(wb, number, note=BESIDE, by=by, now=now)
