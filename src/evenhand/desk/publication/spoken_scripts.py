"""A script that has gone out: held against the edition it was spoken from, and what stands no more."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.narrating import quotables_of, refuse_unsound
from evenhand.desk.publication.scripts import Checked, check_script
from evenhand.editions.own_words import gist, names_gone, names_in, said_no_more
from evenhand.editions.snapshot import Snapshot
from evenhand.prose.rendering import filled, unmarked
from evenhand.prose.script import Piece
from evenhand.prose.timing import timed
from evenhand.prose.touched import Mark, TouchedSentence, objected_anew, touched_sentences
from evenhand.publish.numbers import counted
from evenhand.store.workbench import Workbench

Edition = tuple[int, Snapshot]
_MARGIN = re.compile(r"\{\s*margin\b[^{}]*\}")


def spoken_in(script: str | None, editions: Sequence[Edition]) -> Edition | None:
    """The edition that a script was spoken from: the first of the last ones that went out with just it."""
    found = None
    for edition in reversed(editions):
        if edition[1].script != script or not script:
            break
        found = edition
    return found


def with_script(
    wb: Workbench, record: StudyOnRecord, snapshot: Snapshot, checked: Checked | None,
    editions: Sequence[Edition], *, override: str,
) -> Snapshot:  # fmt: skip
    """The snapshot with what is to be said of its script: what is objected to, and why it goes out so.

    A script that went out with the last edition is out: it is held against the edition that it was spoken
    from, and this one says how much of it stands no more. Raises BadRecord where a script that has not gone
    out does not stand, and nobody says why it goes out all the same.
    """
    study = record.study.key
    spoken = spoken_in(snapshot.script, editions)
    excused = (
        since_spoken(wb, record, spoken, snapshot)
        if spoken is not None
        else refuse_unsound(checked, study, override=override)
    )
    return replace(snapshot, excused=excused, objected=objected_rows(checked))


def since_spoken(wb: Workbench, record: StudyOnRecord, spoken: Edition, now: Snapshot) -> str:
    """What an edition says of a script that was spoken from an earlier one; "" where all of it stands."""
    number, before = spoken
    n = len(sentences_touched(wb, record, before, now))
    if not n:
        return before.excused
    verb = "stands" if n == 1 else "stand"
    told = f"The script was spoken for edition {number}; {counted(n, 'sentence')} of it {verb} no more."
    return " ".join(filter(None, [before.excused, told]))


def objected_rows(checked: Checked | None) -> list[Mapping[str, Any]]:
    """What is objected to in a script, as an edition keeps it."""
    return [
        {
            "rule": each.rule.value, "start": each.place.start, "end": each.place.end,
            "line": each.place.line, "excerpt": each.excerpt, "reason": each.reason,
        }
        for each in (() if checked is None else checked.objections)
    ]  # fmt: skip


def sentences_touched(
    wb: Workbench, record: StudyOnRecord, before: Snapshot, after: Snapshot, *,
    words_a_minute: int | None = None,
) -> tuple[TouchedSentence, ...]:  # fmt: skip
    """The sentences of an edition's script that stood when it went out and do not stand `after` it.

    One stands no more where its check objects to it anew, where it is the record's own and the record has it
    no more, and where it names what the record calls otherwise.
    """
    if not (before.script or "").strip():
        return ()
    checked = check_script(wb, record.study.key, before.script or "", words_a_minute=words_a_minute)
    was, objected = quotables_of(record, before), marks_of(before)
    gone, unnamed = said_no_more(before, after), names_gone(before, after)

    def why(piece: Piece) -> list[tuple[str, str]]:
        told = list(objected_anew(piece, objected=objected, now=checked.objections))
        if any(piece.place.start <= start < piece.place.end for _, start, _ in objected):
            return told
        own = gone.get(gist(unmarked(filled(bound_margin(piece.text), was))))
        named = [(each, own.would_stand if own else "") for each in names_in(piece.text, unnamed)]
        return named or told or ([(own.why, own.would_stand)] if own else [])

    pace = {} if words_a_minute is None else {"words_a_minute": words_a_minute}
    return touched_sentences(checked.script, timed(checked.script, was, **pace), was, why=why)


def bound_margin(text: str) -> str:
    r"""A sentence whose margin stays the reference that it is.

    >>> bound_margin("level within {margin}, by {lead of a over b in t}")
    'level within \\{margin\\}, by {lead of a over b in t}'
    """
    return _MARGIN.sub(r"\\{margin\\}", text)


def marks_of(snapshot: Snapshot) -> frozenset[Mark]:
    """What was objected to when an edition went out."""
    return frozenset((row["rule"], row["start"], row["end"]) for row in snapshot.objected)
