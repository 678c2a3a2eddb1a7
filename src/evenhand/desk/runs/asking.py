"""A decision about a run as a page or a program asks for it; refused where the run was seen otherwise."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from types import MappingProxyType

from evenhand.desk.bench.masking import DecidedMasked, decide_masked, find_masked
from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.runs.deciding import (
    Decided,
    find_run,
    keep,
    replace_run,
    set_aside,
    set_aside_for_good,
    take_back,
)
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord, Overtaken, nearest
from evenhand.records.runs import Reason, RunState
from evenhand.records.states import blocking, holding
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench

KEEP, SET_ASIDE, REPLACE, REOPEN = "keep", "set-aside", "replace", "reopen"
SIGHT = 12  # digits of a hash: enough to tell the states of one run apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What somebody wants done with a run: `verb` is one of VERBS.

    `seen` is the sight of the run on which this rests, "" for whoever decides without looking; `masked` says
    that names are hidden, and then runs go by masked ids. `leave_slot_out` goes with setting aside: the run
    is not made again. `who` decides.
    """

    verb: str
    reason: str = ""
    note: str = ""
    by: str = ""
    seen: str = ""
    masked: bool = False
    leave_slot_out: bool = False
    who: str = ""

    def said(self, now: datetime) -> Said:
        """What goes with the decision, made at this moment."""
        return Said(now=now, note=self.note, by=self.who, masked=self.masked)


def sight(each: RunOnRecord) -> str:
    """What a decision about a run rests on, as a short word: after another decision it is another word."""
    last = each.decision
    decided = None if last is None else (last.at, last.state, last.reason, last.note, last.masked)
    found = sorted(fault.kind for fault in holding(each.faults))  # how they are told changes with siblings
    return hashlib.sha256(as_text((each.run.id, each.state, decided, found)).encode()).hexdigest()[:SIGHT]


def missing_words(each: RunOnRecord, asked: Asked) -> dict[str, str]:
    """What is still to be said before this can be done, by the name of the field it belongs into."""
    if asked.verb == KEEP and blocking(each.faults) and not asked.note:
        return {
            "note": f"“{blocking(each.faults)[0].title}” blocks this run: say why it counts all the same."
        }
    if asked.verb == SET_ASIDE and not asked.reason:
        return {"reason": "Choose a reason: they were fixed before there was any result."}
    if asked.verb == SET_ASIDE and asked.reason == Reason.OTHER.value and not asked.note:
        return {"note": "None of the reasons fits: say in words what is wrong with the run."}
    if asked.verb == REPLACE and not asked.by:
        return {"by": "Choose the run that was made in its place."}
    return {}


def decide_as_asked(wb: Workbench, name: str, asked: Asked, *, now: datetime) -> Decided | DecidedMasked:
    """Do what was asked with the run of this name. Raises Overtaken where it was seen otherwise.

    Looking and deciding are one transaction: of two who decide at once, the second learns of the first.
    """
    if asked.verb not in VERBS:
        raise BadRecord(
            f"'{asked.verb}' is no decision", where="the request", todo=nearest(asked.verb, VERBS)
        )
    with wb.writing():
        each = find_masked(wb, name) if asked.masked else find_run(wb, name)
        require_seen(each, asked.seen)
        decide = partial(VERBS[asked.verb], wb, asked=asked, now=now)
        return decide_masked(wb, name, decide) if asked.masked else decide(each.run.id)


def require_seen(each: RunOnRecord, seen: str) -> None:
    """Raises Overtaken where a run stands otherwise than it did when it was seen."""
    if seen and seen != sight(each):
        raise Overtaken(
            f"Meanwhile this run stands otherwise: it {stands_now(each)}",
            where="your decision was not stored",
            todo="look at it as it stands now, then decide again if you still want to",
        )


def stands_now(each: RunOnRecord) -> str:
    """Where a run stands, as the end of a sentence about it.

    >>> from evenhand.desk.on_record import NO_METRICS
    >>> from evenhand.records.runs import Run
    >>> run = Run(id="3f9a", study="s", test="t", setup="a", label="take 1")
    >>> stands_now(RunOnRecord(run=run, metrics=NO_METRICS, faults=(), decision=None, state=RunState.LANDED))
    'counts, with nothing found in it'
    """
    reason = each.decision.reason if each.decision else None
    return {
        RunState.LANDED: "counts, with nothing found in it",
        RunState.IN_DOUBT: "waits for a decision",
        RunState.KEPT: "was kept, and counts",
        RunState.SET_ASIDE: f"was set aside: {reason.meaning}" if reason else "was set aside",
        RunState.REPLACED: "was replaced by another run",
    }[each.state]


def _keep(wb: Workbench, run: str, *, asked: Asked, now: datetime) -> Decided:
    return keep(wb, run, said=asked.said(now))


def _set_aside(wb: Workbench, run: str, *, asked: Asked, now: datetime) -> Decided:
    do = set_aside_for_good if asked.leave_slot_out else set_aside
    return do(wb, run, reason=asked.reason, said=asked.said(now))


def _replace(wb: Workbench, run: str, *, asked: Asked, now: datetime) -> Decided:
    by = find_masked(wb, asked.by).run.id if asked.masked else asked.by
    return replace_run(wb, run, by=by, said=asked.said(now))


def _reopen(wb: Workbench, run: str, *, asked: Asked, now: datetime) -> Decided:
    return take_back(wb, run, said=asked.said(now))


VERBS: Mapping[str, Callable[..., Decided]] = MappingProxyType(
    {KEEP: _keep, SET_ASIDE: _set_aside, REPLACE: _replace, REOPEN: _reopen}
)
