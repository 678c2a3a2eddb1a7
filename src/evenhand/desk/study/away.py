"""Put a study away that nobody works on any more, and bring it back; nothing of it is ever deleted.

While it is away it can be read and exported, and nothing of it changes: files that come in for it wait.
"""

from __future__ import annotations

from datetime import datetime

from evenhand.desk.study.moments import offset_words
from evenhand.errors import BadRecord
from evenhand.publish.dates import MONTHS
from evenhand.publish.numbers import NO_BREAK
from evenhand.records.away import StudyAway
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.away import add_away, studies_away
from evenhand.store.workbench import Workbench

LONGEST_NOTE = 400  # characters
AWAY_SINCE = "is put away since"


class StudyIsAway(BadRecord):
    """What was asked for would change a study that is put away; `study` says which."""

    study: str = ""


def since_words(away: StudyAway) -> str:
    r"""When a study was put away, by a clock that is named since this is kept as a reason too, and why.

    >>> at = datetime.fromisoformat("2031-05-04T09:30Z")
    >>> since_words(StudyAway(study="quay", away=True, by="a laptop", at=at, note="made twice"))
    '4\xa0May\xa02031 09:30 UTC: made twice'
    """
    month = MONTHS[away.at.month - 1][:3]
    day = f"{away.at.day}{NO_BREAK}{month}{NO_BREAK}{away.at.year}"
    at = f"{day} {away.at:%H:%M} {offset_words(away.at)}"
    return f"{at}: {away.note.rstrip('.')}" if away.note else at


def away_now(wb: Workbench) -> dict[str, StudyAway]:
    """The studies that are put away, by key; read anew only after a change."""
    return wb.lately("studies away", lambda: studies_away(wb))


def studies_at_hand(wb: Workbench) -> tuple[Study, ...]:
    """The studies that are not put away, in order of arrival."""
    away = away_now(wb)
    return tuple(study for study in shelves.every(wb, Study) if study.key not in away)


def put_study_away(wb: Workbench, study: str, *, note: str, by: str, now: datetime) -> StudyAway:
    """Put a study away; one that is away already stays so as it was said first. Raises NotFound.

    A plan that goes on stays as it is: its rigs are told, and go on once the study is brought back.
    """
    said = " ".join(note.split())
    if len(said) > LONGEST_NOTE:
        raise BadRecord(
            f"the note has {len(said)} characters", where="note", todo=f"say it in {LONGEST_NOTE} at most"
        )
    with wb.writing():
        shelves.one(wb, Study, study)
        before = studies_away(wb).get(study)
        return before or add_away(wb, StudyAway(study=study, away=True, by=by, at=now, note=said))


def bring_study_back(wb: Workbench, study: str, *, by: str, now: datetime) -> bool:
    """Bring a study back as it was; whether it was away. Raises NotFound.

    What waits for it is another step (`desk.study.away_waiting`): it may take long.
    """
    with wb.writing():
        shelves.one(wb, Study, study)
        if study not in studies_away(wb):
            return False
        add_away(wb, StudyAway(study=study, away=False, by=by, at=now))
    return True


def refuse_away(wb: Workbench, *studies: str) -> None:
    """Raises StudyIsAway where all of these studies are put away; what any other shares may change.

    Call it in the transaction that writes: then nothing can be put away between looking and writing.
    """
    with wb.reading():
        away = studies_away(wb)
        if studies and all(study in away for study in studies):
            key = studies[0]
            raise closed(
                away[key],
                f"the study “{title_of(wb, key)}” {AWAY_SINCE} {since_words(away[key])}",
                todo=f"bring it back first: on the first page, or by `evenhand bring-back {key}`",
                where=f"study {key}",
            )


def refuse_landing(wb: Workbench, study: str) -> None:
    """Raises StudyIsAway where a file would land in a study that is put away: it waits until that is back."""
    with wb.reading():
        away = studies_away(wb).get(study)
        if away is not None:
            found = f"its study, “{title_of(wb, study)}”, {AWAY_SINCE} {since_words(away)}"
            raise closed(
                away, found, todo="it lands by itself once that is brought back, or file it elsewhere"
            )


def closed(away: StudyAway, found: str, *, todo: str, where: str = "") -> StudyIsAway:
    """The refusal, with the study it is about."""
    refusal = StudyIsAway(found, where=where, todo=todo)
    refusal.study = away.study
    return refusal


def title_of(wb: Workbench, study: str) -> str:
    """What a study is called."""
    return shelves.one(wb, Study, study).title
