"""What was done at the bench a moment ago: its page says so, and offers or tells of the way back."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.masking import Mask
from evenhand.desk.bench.plan_standing import PlanNow
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.bench_cards import undone_words
from evenhand.desk.pages.skipped import taken_up_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Just:
    """What was done a moment ago: a run decided about, a slot left out, or a reading typed into a field.

    `undone` is the run whose decision was taken back, `taken_up` the slot that is not left out any more.
    """

    done: str = ""
    undone: str = ""
    skipped: int = 0
    taken_up: int = 0
    late: str = ""


def back_words(record: StudyOnRecord, plan: PlanNow | None, just: Just, *, mask: Mask | None) -> str:
    """What was just taken back, where something was and it still stands so."""
    if just.undone:
        return undone_words(record, just.undone, mask=mask)
    return taken_up_words(record, plan, just.taken_up, mask=mask) if plan and just.taken_up else ""
