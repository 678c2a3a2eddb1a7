"""What waits in the inbox: each file with why it waits, what it seems to hold, and which run it likely is."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.matching import Proposal, propose
from evenhand.desk.logs.column_questions import Question, question
from evenhand.desk.logs.columns import LOOK_BYTES
from evenhand.desk.logs.layouts import known_for, remembered
from evenhand.errors import EvenhandError, StoreProblem
from evenhand.records.layouts import Layout, LogKind
from evenhand.records.plans import Arrival, Placing
from evenhand.store import arrivals, originals
from evenhand.store.workbench import Workbench
from evenhand.traces.probe import PREVIEW_ROWS, Probe, probe

NOBODY_SAID = "Nobody has said yet which run it is."


@dataclass(frozen=True, slots=True, kw_only=True)
class LookInside:
    """What a file seems to hold: a guess for each column, and the columns that were confirmed for its header.

    `trouble` says why nothing can be read as rows.
    """

    question: Question | None = None
    known: Layout | None = None
    trouble: str = ""

    @property
    def kind(self) -> LogKind | None:
        """What kind of log it is: as confirmed, or as guessed where nothing speaks against it."""
        if self.known is not None:
            return self.known.kind
        return self.question.kind if self.question is not None and self.question.sure else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """One file in the inbox: why it waits, what is in it, and the run it most likely is."""

    arrival: Arrival
    why: str
    look: LookInside
    proposal: Proposal


def inbox(wb: Workbench, *, most: int | None = None) -> tuple[Waiting, ...]:
    """Every file that came in, is no run yet and was not put away, or the `most` newest; the newest first."""
    return tuple(waiting_of(wb, arrival, last) for arrival, last in arrivals.waiting(wb)[:most])


def count_waiting(wb: Workbench) -> int:
    """How many files wait."""
    return len(arrivals.waiting(wb))


def waiting_of(wb: Workbench, arrival: Arrival, last: Placing | None) -> Waiting:
    """One file that waits."""
    look = look_inside(wb, arrival)
    return Waiting(
        arrival=arrival,
        why=last.note if last is not None and last.note else NOBODY_SAID,
        look=look,
        proposal=propose(wb, arrival, kind=look.kind),
    )


def one_waiting(wb: Workbench, number: int) -> Waiting:
    """One arrival as it stands, waiting or not. Raises NotFound."""
    told = arrivals.placings_of(wb, number)
    return waiting_of(wb, arrivals.arrival(wb, number), told[-1] if told else None)


def look_inside(wb: Workbench, arrival: Arrival) -> LookInside:
    """What a file seems to hold, from its beginning."""
    return _look_at(wb, originals.beginning(wb, arrival.digest, LOOK_BYTES), arrival.name)


def _look_at(wb: Workbench, beginning: bytes, name: str) -> LookInside:
    try:
        seen = probe(beginning, name=name)
        asked = question(seen, name=name)
    except StoreProblem:
        raise
    except EvenhandError as trouble:
        return LookInside(trouble=str(trouble))
    return LookInside(question=asked, known=known_layout(wb, seen))


def kind_inside(wb: Workbench, arrival: Arrival) -> LogKind | None:
    """What kind of log a file is; one whose columns were confirmed is not looked at for a guess."""
    return kind_of_beginning(wb, originals.beginning(wb, arrival.digest, LOOK_BYTES), arrival.name)


def kind_of_beginning(wb: Workbench, beginning: bytes, name: str) -> LogKind | None:
    """What kind of log a file is that begins so."""
    try:
        seen = probe(beginning, name=name, max_rows=PREVIEW_ROWS)
    except StoreProblem:
        raise
    except EvenhandError:
        return None
    known = known_layout(wb, seen)
    return _look_at(wb, beginning, name).kind if known is None else known.kind


def known_layout(wb: Workbench, seen: Probe) -> Layout | None:
    """The columns that are known for a header, if they are; the latest where there are several."""
    return known_for(remembered(wb), seen)


def without_name(said: str, name: str) -> str:
    """What is said of a file where its name stands beside it already.

    >>> without_name("a.csv: it is empty", "a.csv"), without_name("a.csv, line 2: no number", "a.csv")
    ('it is empty', 'line 2: no number')
    """
    for mark in (": ", ", "):
        if said.startswith(name + mark):
            return said.removeprefix(name + mark)
    return said
