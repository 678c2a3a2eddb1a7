"""What is shown of studies that are put away: their quiet group on the first page, and what was just done."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.away_note import AwayNote, away_note, plan_rests
from evenhand.desk.pages.frame import address
from evenhand.desk.study.away import since_words
from evenhand.publish.numbers import count_word
from evenhand.records.away import StudyAway
from evenhand.store.away import away_of
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayCard:
    """A study that is put away, in the list: where it can be read, and since when and why it is away."""

    study: str
    title: str
    address: str
    size: str
    since: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayDone:
    """A study that was just put away or brought back, in words; `note` puts it away again as it was."""

    study: str
    words: str
    away: bool
    address: str
    note: str


def away_card(record: StudyOnRecord, away: StudyAway, size: str) -> AwayCard:
    """One study in the group; `size` says how much there is of it."""
    return AwayCard(
        study=record.study.key,
        title=record.study.title,
        address=address(record.study.key, "compare" if record.runs else "brief"),
        size=size,
        since=since_words(away),
    )


def note_on(wb: Workbench, study: str) -> AwayNote | None:
    """The note on the pages of a study as it is now. Raises NotFound."""
    return away_note(load_study(wb, study))


def done_with(wb: Workbench, study: str) -> AwayDone | None:
    """What was done last with a study, the way back beside it; None where nothing was. Raises NotFound."""
    record, told = load_study(wb, study), away_of(wb, study)
    if not told:
        return None
    last, title = told[-1], record.study.title
    if last.away:
        words = f"“{title}” is put away. Nothing of it is lost. {plan_rests(record)}".rstrip()
    else:
        words = f"“{title}” is back as it was."
    notes = [each.note for each in told if each.away]
    return AwayDone(study=study, words=words, away=last.away, address=address(study, "brief"), note=notes[-1])


def away_answer_words(away: int) -> str:
    """What the first page opens with where every study is put away.

    >>> away_answer_words(1), away_answer_words(2)
    ('The one study here is put away.', 'Both studies here are put away.')
    """
    if away == 1:
        return "The one study here is put away."
    return f"{'Both' if away == 2 else f'All {count_word(away)}'} studies here are put away."
