"""A script that has gone out: held against the edition it was spoken from, and what stands no more."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.narrating import refuse_unsound, spoken_of
from evenhand.desk.publication.scripts import Checked, objections_to
from evenhand.editions.own_words import gist, names_gone, names_in, said_no_more
from evenhand.editions.reworded import reworded
from evenhand.editions.snapshot import Snapshot
from evenhand.prose.rendering import filled, unmarked
from evenhand.prose.script import Piece
from evenhand.prose.timing import Spoken
from evenhand.prose.touched import TouchedSentence, Why, is_in, objected_in, touched_sentences
from evenhand.publish.numbers import counted
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench

Edition = tuple[int, Snapshot]
UNOBJECTED: Why = ("nothing is objected to in it", "")
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
    script = spoken_of(record, before, imprint_now(wb).words_a_minute)
    n = sum(not each.against for each in sentences_touched(wb, record, script, (before, now)))
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
    wb: Workbench, record: StudyOnRecord, spoken: Spoken | None, editions: tuple[Snapshot, Snapshot]
) -> tuple[TouchedSentence, ...]:
    """The sentences of a spoken script that stood in the first of two editions and do not in the second.

    One stands no more where its check objects to it, where it is the record's own and the record has it no
    more, and where it names what the record calls otherwise. One that went out against an objection never
    stood: it is told where something else is objected to in it than then, or nothing. None is told where only
    the program tells the same in other words.
    """
    before, after = editions
    if spoken is None or not spoken.script.text.strip() or reworded(before, after):
        return ()
    objections = objections_to(wb, record, spoken.script)
    gone, unnamed = said_no_more(before, after), names_gone(before, after)

    def why(piece: Piece) -> list[Why]:
        told = list(objected_in(piece, objections))
        own = gone.get(gist(unmarked(filled(bound_margin(piece.text), spoken.figures))))
        named = [(each, own.would_stand if own else "") for each in names_in(piece.text, unnamed)]
        found = named or told or ([(own.why, own.would_stand)] if own else [])
        then = objected_then(piece)
        if then and not (named or own) and {reason for reason, _ in told} == set(then):
            return []
        return found or ([UNOBJECTED] if then else [])

    def objected_then(piece: Piece) -> dict[str, None]:
        return dict.fromkeys(row["reason"] for row in before.objected if is_in(piece, row["start"]))

    return touched_sentences(spoken, why=why, against=lambda piece: "; ".join(objected_then(piece)))


def bound_margin(text: str) -> str:
    r"""A sentence whose margin stays the reference that it is.

    >>> bound_margin("level within {margin}, by {lead of a over b in t}")
    'level within \\{margin\\}, by {lead of a over b in t}'
    """
    return _MARGIN.sub(r"\\{margin\\}", text)
