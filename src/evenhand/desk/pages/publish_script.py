"""The script on the publish page: its text, its check, how long it takes, and what a change touches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.narrating import checked_now, script_now
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.scripts import Checked
from evenhand.prose.timing import time_code
from evenhand.prose.touched import TouchedFigure
from evenhand.publish.numbers import capital, counted
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class ObjectionRow:
    """One objection: where, the words it is about, why, and what would stand."""

    where: str
    excerpt: str
    rule: str
    reason: str
    would_stand: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedRow:
    """A figure of the published script that reads otherwise today, with the chapter it is said in."""

    chapter: str
    address: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptPart:
    """The script as it stands; `answer` says in a sentence how it stands, `untold` what it has no word of."""

    text: str
    answer: str
    objections: tuple[ObjectionRow, ...]
    untold: tuple[str, ...]
    chapters: tuple[tuple[str, str], ...]
    shown: str
    touched: tuple[TouchedRow, ...]


def script_part(wb: Workbench, record: StudyOnRecord, figures: Sequence[TouchedFigure] = ()) -> ScriptPart:
    """The script of a study with its check; `figures` of the published one read otherwise today."""
    script, checked = script_now(wb, record.study.key), checked_now(wb, record.study.key)
    return ScriptPart(
        text=script.text if script else "", answer=answer_of(checked),
        objections=() if checked is None else tuple(_objections(checked)),
        untold=() if checked is None else checked.untold,
        chapters=() if checked is None else tuple(_chapters(checked)),
        shown="" if checked is None else checked.shown,
        touched=touched_rows(figures),
    )  # fmt: skip


def answer_of(checked: Checked | None) -> str:
    """How the script stands."""
    if checked is None:
        return "No script was kept yet."
    long = f"{counted(checked.times.words, 'word')}, {time_code(checked.times.seconds)} to speak"
    if not checked.objections:
        return f"{capital(long)}; nothing is objected to."
    return f"{capital(long)}; {counted(len(checked.objections), 'objection')}."


def touched_rows(figures: Sequence[TouchedFigure]) -> tuple[TouchedRow, ...]:
    """What of the published script reads otherwise today."""
    return tuple(
        TouchedRow(
            chapter=f"{time_code(each.start_s)} {each.chapter}".strip(), address=each.address,
            before=each.before, after=each.after or "no more",
        )
        for each in figures
    )  # fmt: skip


def _objections(checked: Checked) -> list[ObjectionRow]:
    return [
        ObjectionRow(
            where=f"line {each.place.line}", excerpt=" ".join(each.excerpt.split()), rule=each.rule.value,
            reason=f"{capital(each.reason)}.", would_stand=each.would_stand,
        )
        for each in checked.objections
    ]  # fmt: skip


def _chapters(checked: Checked) -> list[tuple[str, str]]:
    return [(time_code(each.start_s), each.title) for each in checked.times.chapters if each.title]
