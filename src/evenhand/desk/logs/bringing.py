"""What was dropped and takes its time: a study's folder, or an archive of one or of logs, brought in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath

from evenhand.desk.logs.archives import shown, unpack
from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.dropping import Dropped, drop_file
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.logs.staging import without_place
from evenhand.errors import BadRecord
from evenhand.folders.study_folder import STUDY_FILE
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]
UNPACKED = "unpacked"


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What came of it: a study with its report, and the columns that somebody has to confirm; or files.

    `folder` is the study's folder, from which it can be brought in once more.
    """

    title: str = ""
    report: ImportReport | None = None
    questions: tuple[Question, ...] = ()
    files: tuple[Dropped, ...] = ()
    folder: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bringing:
    """Who brings what: an archive's name, and the study on whose pages it was dropped."""

    name: str
    by: str
    now: datetime
    study: str = ""


def bring_study(wb: Workbench, folder: Path, *, now: datetime, watch: Watch) -> Brought:
    """A study's folder onto the workbench. `watch` may raise to stop: what came in by then stays.

    Logs whose columns nobody has confirmed wait: their headers are asked about, and it is brought in again.
    """
    asked: list[Question] = []

    def later(question: Question) -> bool:
        asked.append(question)
        return False

    with without_place(folder):
        report = import_folder(wb, folder, now=now, ask=later, watch=watch, until=now)
    title = shelves.one(wb, Study, report.study).title
    return Brought(title=title, report=report, questions=tuple(asked), folder=folder)


def bring_archive(wb: Workbench, archive: Path, about: Bringing, *, watch: Watch) -> Brought:
    """An archive: the study in it, or else each of its files as a log. Raises BadRecord."""
    folder = archive.parent / UNPACKED
    names = unpack(archive, folder, name=about.name, watch=watch)
    studies = [name for name in names if PurePosixPath(name).name == STUDY_FILE]
    if len(studies) > 1:
        raise BadRecord(
            f"the archive holds {len(studies)} study files: {', '.join(shown(each) for each in studies[:3])}",
            where=about.name,
            todo="drop one study at a time",
        )
    if studies:
        return bring_study(wb, folder / PurePosixPath(studies[0]).parent, now=about.now, watch=watch)
    return Brought(files=tuple(bring_files(wb, folder, names, about=about, watch=watch)))


def bring_files(
    wb: Workbench, folder: Path, names: Sequence[str], *, about: Bringing, watch: Watch
) -> Iterator[Dropped]:
    """Each file of a folder as somebody dropped it."""
    for done, name in enumerate(names):
        watch(done, len(names), shown(name))
        data = (folder / name).read_bytes()
        yield drop_file(wb, data, name=name, study=about.study, by=about.by, now=about.now)
