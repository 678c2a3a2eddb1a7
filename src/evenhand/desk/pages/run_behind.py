"""What lies behind a run and takes a moment: evidence, what could not be judged, its logs, and its past."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.bench.masking import Mask, masked_id, show_masked
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.run_logs import LogFlaw
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.run_cards import Found, decided_words, found_of
from evenhand.desk.runs.deciding import RunHistory, run_history
from evenhand.desk.runs.drawings import Drawings
from evenhand.desk.study.moments import Clock, moment_words
from evenhand.publish.numbers import capital, counted
from evenhand.publish.picture import Picture
from evenhand.publish.window_words import moment
from evenhand.records.runs import Decision, RunState


@dataclass(frozen=True, slots=True, kw_only=True)
class Exhibited:
    """One fault with its pictures; none where its log left nothing to draw."""

    found: Found
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """One decision: when, what, and the faults that were on show then."""

    when: str
    words: str
    grounds: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """All of it in words and pictures; while names are hidden, what was found and could not be judged."""

    exhibited: tuple[Exhibited, ...]
    unjudged: tuple[str, ...] = ()
    flaws: tuple[str, ...] = ()
    joined: str = ""
    past: tuple[Past, ...] = ()
    names: tuple[str, ...] = ()
    counted_from: str = ""


def behind_of(
    drawings: Drawings, record: StudyOnRecord, each: RunOnRecord, *, clock: Clock, mask: Mask | None = None
) -> Behind:
    """Everything behind a run, decisions by this clock."""
    exhibited = tuple(exhibited_of(drawings, record, each, mask=mask))
    from_words = counted_from(record, each)
    if mask is not None:
        told = show_masked(drawings.wb, masked_id(each.run.id)).unjudged
        return Behind(exhibited=exhibited, unjudged=told or (), counted_from=from_words)
    history = run_history(drawings.wb, each.run.id)
    return Behind(
        exhibited=exhibited,
        unjudged=history.unjudged,
        flaws=tuple(flaw_words(flaw) for flaw in history.logs.flaws),
        joined=capital(history.logs.sensors_joined),
        past=tuple(past_of(history, clock)),
        names=history.log_names,
        counted_from=from_words,
    )


def counted_from(record: StudyOnRecord, each: RunOnRecord) -> str:
    """From when on seconds are counted in what is told of a run that is cut at its beginning."""
    window = window_of(record.tests[each.run.test], each.run)
    if not window.start_s:
        return ""
    return (
        f"Seconds are counted from the first frame that is measured, {moment(window.start_s)} into the log."
    )


def exhibited_of(
    drawings: Drawings, record: StudyOnRecord, each: RunOnRecord, *, mask: Mask | None
) -> Iterator[Exhibited]:
    """Each fault with its pictures, told with letters where a mask is given."""
    for fault in each.faults:
        told = fault if mask is None else mask.fault(fault, each.run.id)
        pictures = drawings.evidence(record, each, fault, masked=mask is not None)
        yield Exhibited(found=found_of(told), pictures=pictures)


def flaw_words(flaw: LogFlaw) -> str:
    """Something odd in a log, as a sentence."""
    where = f", first in line {flaw.line}" if flaw.line else ""
    often = f", {counted(flaw.count, 'time')}" if flaw.count > 1 else ""
    return f"{capital(flaw.log.value)} log: {flaw.detail}{where}{often}. {flaw.meaning}"


def past_of(history: RunHistory, clock: Clock) -> Iterator[Past]:
    """Every decision about a run, the last first."""
    for decision in reversed(history.decisions):
        grounds = tuple(f"{ground.title}: {ground.evidence}" for ground in decision.grounds)
        yield Past(when=moment_words(clock(decision.at)), words=decision_words(decision), grounds=grounds)


def decision_words(decision: Decision) -> str:
    """One decision in a sentence; one that takes earlier ones back as well."""
    if decision.state is RunState.LANDED:
        return f"Taken back.{f' “{decision.note}”' if decision.note else ''}"
    return decided_words(decision)
