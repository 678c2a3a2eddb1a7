"""Runs that were replaced by another one, and what is said where that one does not count itself."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from evenhand.desk.on_record import RunOnRecord
from evenhand.records.runs import Run, RunState

REPLACED_BY = re.compile(r"replaced by ([0-9a-f]+) \(")


def replacement_note(by: Run, note: str) -> str:
    """The note of a decision that replaces a run: which one stands in, and why.

    >>> replacement_note(Run(id="77c0", study="s", test="t", setup="a", label="take 2"), "wrong save")
    'replaced by 77c0 (take 2): wrong save'
    """
    return f"replaced by {by.id} ({by.label})" + (f": {note}" if note else "")


def stand_in(each: RunOnRecord) -> str | None:
    """The id of the run that stands in for a replaced one, where its decision names one."""
    if each.state is not RunState.REPLACED or each.decision is None:
        return None
    found = REPLACED_BY.match(each.decision.note)
    return found.group(1) if found else None


def stand_ins_that_do_not_count(runs: Iterable[RunOnRecord]) -> dict[str, str]:
    """What is said of each replaced run, by its id, for which nothing counts: its stand-in does not.

    A stand-in that was replaced in turn is followed to the one that stands in for it.
    """
    known = {each.run.id: each for each in runs}
    return {
        each.run.id: stand_in_words(each, last)
        for each in known.values()
        for last in [_last(each, known)]
        if last is not None and not last.state.counts
    }


def stand_in_words(each: RunOnRecord, last: RunOnRecord) -> str:
    """A run that stays out for one that does not count, as a sentence."""
    return (
        f"{each.run.label} ({each.run.id}) was replaced by {last.run.label} ({last.run.id}), which does not "
        f"count itself: it is {last.state.value}. Reopen the one or the other, if either is sound."
    )


def _last(each: RunOnRecord, known: Mapping[str, RunOnRecord]) -> RunOnRecord | None:
    """The end of the chain of stand-ins; None where the run was not replaced by one on record."""
    chain = list(_chain(each, known))
    return chain[-1] if chain else None


def _chain(each: RunOnRecord, known: Mapping[str, RunOnRecord]) -> Iterator[RunOnRecord]:
    seen = {each.run.id}
    name = stand_in(each)
    while name is not None and name in known and name not in seen:
        seen.add(name)
        yield known[name]
        name = stand_in(known[name])
