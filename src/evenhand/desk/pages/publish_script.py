"""The script on the publish page: its text, its check, how long it takes, and what a change touches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.narrating import checked_now, script_now
from evenhand.desk.publication.scripts import Checked
from evenhand.prose.timing import time_code
from evenhand.prose.touched import TouchedFigure, TouchedSentence
from evenhand.publish.numbers import capital, counted
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class ObjectionRow:
    """One objection: where, the words it is about, why, and what to say or do instead, as a sentence."""

    where: str
    excerpt: str
    rule: str
    reason: str
    instead: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedRow:
    """What of the published script is otherwise today, with the chapter it is said in; `what` names it."""

    chapter: str
    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptPart:
    """The script as it stands; `answer` says in a sentence how it stands, `untold` what it has no word of.

    `cautions` are what has to be known with the figures that it quotes.
    """

    text: str
    answer: str
    objections: tuple[ObjectionRow, ...]
    untold: tuple[str, ...]
    cautions: tuple[str, ...]
    chapters: tuple[tuple[str, str], ...]
    shown: str
    touched: tuple[TouchedRow, ...]


def script_part(
    wb: Workbench,
    record: StudyOnRecord,
    figures: Sequence[TouchedFigure] = (),
    sentences: Sequence[TouchedSentence] = (),
) -> ScriptPart:
    """The script with its check; `figures` and `sentences` of the published one are otherwise today."""
    script, checked = script_now(wb, record.study.key), checked_now(wb, record.study.key)
    return ScriptPart(
        text=script.text if script else "", answer=answer_of(checked),
        objections=() if checked is None else tuple(_objections(checked)),
        untold=() if checked is None else checked.untold,
        cautions=() if checked is None else checked.cautions,
        chapters=() if checked is None else tuple(_chapters(checked)),
        shown="" if checked is None else checked.shown,
        touched=touched_rows(figures, sentences),
    )  # fmt: skip


def answer_of(checked: Checked | None) -> str:
    """How the script stands."""
    if checked is None:
        return "No script was kept yet."
    long = f"{counted(checked.times.words, 'word')}, {time_code(checked.times.seconds)} to speak"
    if not checked.objections:
        return f"{capital(long)}; nothing is objected to."
    return f"{capital(long)}; {counted(len(checked.objections), 'objection')}."


def touched_rows(
    figures: Sequence[TouchedFigure], sentences: Sequence[TouchedSentence]
) -> tuple[TouchedRow, ...]:
    """What of the published script reads otherwise today, in the order of its lines."""
    rows = [
        (each.line, each, each.address, each.before, each.after or "no more") for each in figures
    ] + [
        (each.line, each, f"line {each.line}", each.words, _no_more(each)) for each in sentences
    ]  # fmt: skip
    return tuple(
        TouchedRow(
            chapter=f"{time_code(each.start_s)} {each.chapter}".strip(), what=what, before=before, after=after
        )
        for _, each, what, before, after in sorted(rows, key=lambda row: row[0])
    )


def _no_more(sentence: TouchedSentence) -> str:
    """Why a sentence is told of, and what would stand."""
    would = f" What would stand: {sentence.would_stand}" if sentence.would_stand else ""
    return f"{capital(sentence.told)}.{would}"


def _objections(checked: Checked) -> list[ObjectionRow]:
    return [
        ObjectionRow(
            where=f"line {each.place.line}", excerpt=" ".join(each.excerpt.split()), rule=each.rule.value,
            reason=f"{capital(each.reason)}.", instead=each.instead,
        )
        for each in checked.objections
    ]  # fmt: skip


def _chapters(checked: Checked) -> list[tuple[str, str]]:
    return [(time_code(each.start_s), each.title) for each in checked.times.chapters if each.title]
