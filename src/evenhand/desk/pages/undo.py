"""What was just decided, said once more with the way back."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.masking import Mask, masked_id
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.pages.run_cards import state_words
from evenhand.desk.runs.asking import sight
from evenhand.publish.numbers import capital, counted
from evenhand.records.runs import RunState


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """The bar that says what was done; `undo` is the id of the run to be reopened, "" where nothing is left.

    `seen` is the sight on which undoing rests.
    """

    words: str
    undo: str
    seen: str


def done_of(record: StudyOnRecord, key: str, *, also: int, mask: Mask | None) -> Done | None:
    """What stands about the run of this id, as the answer to what was done just now."""
    shown = (lambda each: each.run.id) if mask is None else (lambda each: masked_id(each.run.id))
    each = next((one for one in record.runs if key and shown(one) == key), None)
    if each is None or each.decision is None:
        return None
    taken_back = each.decision.state is RunState.LANDED
    called = each.run.label if mask is None else f"Run {key}"
    others = f" {capital(counted(also, 'other run'))} {'stands' if also == 1 else 'stand'} otherwise with it."
    return Done(
        words=f"{called}: {_said(each, again=taken_back)}.{others if also else ''}",
        undo="" if taken_back else key,
        seen=sight(each),
    )


def _said(each: RunOnRecord, *, again: bool) -> str:
    return f"{state_words(each.state)} again" if again else state_words(each.state)
