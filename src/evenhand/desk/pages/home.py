"""The first page: every study on the workbench, or what to do first."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.frame import Strip, address, strip_of
from evenhand.publish.numbers import capital, counted
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyCard:
    """One study in the list."""

    title: str
    address: str
    question: str
    builds: tuple[tuple[str, int], ...]
    strip: Strip


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePage:
    """The answer in a sentence, and the studies in order of arrival, the newest first."""

    answer: str
    studies: tuple[StudyCard, ...]


def home_page(wb: Workbench) -> HomePage:
    """Every study with what stands and what is next."""
    cards = tuple(study_card(load_study(wb, study.key)) for study in shelves.every(wb, Study))
    return HomePage(answer=answer_of(len(cards)), studies=cards[::-1])


def answer_of(studies: int) -> str:
    """What the page opens with.

    >>> answer_of(1)
    'One study is on this workbench.'
    """
    if not studies:
        return "This workbench is empty. There are three ways to begin."
    are = "is" if studies == 1 else "are"
    return f"{capital(counted(studies, 'study', 'studies'))} {are} on this workbench."


def study_card(record: StudyOnRecord) -> StudyCard:
    """One study in the list, each of its builds with its slot."""
    builds = dict.fromkeys(record.setups[key].build for key in record.study.setups)
    return StudyCard(
        title=record.study.title,
        address=address(record.study.key, "compare" if record.runs else "brief"),
        question=record.study.question,
        builds=tuple((record.builds[key].name, record.builds[key].slot) for key in builds),
        strip=strip_of(record),
    )
