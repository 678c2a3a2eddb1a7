"""The frame of every page of a study: its pages with where each stands, and the strip on top."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.desk.bench.next_step import next_step
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.away_note import AwayNote, away_note
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One page in the list: its name, where it is, and in a word how far it is."""

    name: str
    address: str
    note: str = ""
    here: bool = False
    apart: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """What stands now and what is next, with the way there."""

    now: str
    next: str
    label: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stands around a page of a study; `away` is the note on it where that is put away."""

    study: str
    title: str
    page: str
    steps: tuple[Step, ...]
    strip: Strip
    away: AwayNote | None = None


PAGES = ("brief", "builds", "tuning", "bench", "runs", "compare", "causes", "money", "verdict", "publish")
RESTS = "Nothing, until this study is brought back"
APART = ("bench", "compare", "publish")  # a little room before: thinking, measuring, concluding, telling


def frame_of(record: StudyOnRecord, page: str) -> Frame:
    """The frame around `page`, one of PAGES."""
    key = record.study.key
    notes = notes_of(record)
    return Frame(
        study=key,
        title=record.study.title,
        page=page,
        steps=tuple(
            Step(
                name=name.capitalize(),
                address=address(key, name),
                note=notes.get(name, ""),
                here=name == page,
                apart=name in APART,
            )
            for name in PAGES
        ),
        strip=strip_here(strip_of(record), key, page),
        away=away_note(record),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Framed:
    """The frame of a page without the page."""

    frame: Frame


def framed(wb: Workbench, study: str, page: str) -> Framed:
    """The frame around a page as it is now. Raises NotFound."""
    return Framed(frame=frame_of(load_study(wb, study), page))


def strip_here(strip: Strip, study: str, page: str) -> Strip:
    """The strip on the page that it leads to: on the comparison what is next lies further down."""
    if page != "compare" or strip.next == RESTS or strip.address != address(study, page):
        return strip
    return replace(
        strip, next="Read on, and take the findings away", label="Cards and tables", address="#take-away"
    )


def address(study: str, page: str, *rest: str) -> str:
    """Where a page of a study is.

    >>> address("saltmarsh", "runs", "3f9a")
    '/studies/saltmarsh/runs/3f9a'
    """
    return "/".join(("/studies", study, page, *rest))


def notes_of(record: StudyOnRecord) -> dict[str, str]:
    """How far each page is, in a word or two."""
    wait = waiting(record)
    compared = len({record.setups[key].build for key in record.study.setups})
    return {
        "builds": str(compared) if compared else "",
        "runs": f"{wait} {'waits' if wait == 1 else 'wait'}" if wait else "",
    }


def waiting(record: StudyOnRecord) -> int:
    """How many runs wait for a decision."""
    return sum(each.state is RunState.IN_DOUBT for each in record.runs)


def strip_of(record: StudyOnRecord) -> Strip:
    """What stands now, and the one thing to do next; nothing while the study is put away."""
    step = next_step(record)
    if record.away is not None:
        return Strip(
            now=step.now, next=RESTS, label="See what it says", address=address(record.study.key, "compare")
        )
    there = "/inbox" if step.page == "inbox" else address(record.study.key, step.page)
    return Strip(now=step.now, next=step.next, label=step.label, address=there)
