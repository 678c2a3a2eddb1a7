"""A study folder on its way: its study file first, then the files it names, then the import.

What was sent lies in a folder of its own beside the workbench until it is brought in.
"""

from __future__ import annotations

import json
import re
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from evenhand.desk.bench.spool import KEPT_FOR, folder_of
from evenhand.desk.logs.archives import inside, shown
from evenhand.desk.logs.study_folders import study_text
from evenhand.desk.parts.fact_checks import fact_problems
from evenhand.desk.study.metric_checks import metric_problems
from evenhand.errors import BadRecord, NotFound, StoreProblem
from evenhand.folders.history_file import HISTORY_FILE, RESULTS_FILE
from evenhand.folders.lines import lines_of
from evenhand.folders.problems import refusal
from evenhand.folders.reading import drafted
from evenhand.folders.study_folder import STUDY_FILE, StudyFolder, files_named
from evenhand.store.workbench import Workbench

ID = re.compile(r"[0-9a-f]{16}")
MARK = "drop-"
PAST = (HISTORY_FILE, RESULTS_FILE)  # sent where they lie beside the study file
ARCHIVE = "archive.zip"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One study folder on its way: its number, where it lies, its title, and the files that it names."""

    id: str
    folder: Path
    title: str
    wanted: tuple[str, ...]
    also: tuple[str, ...] = PAST


def new_place(wb: Workbench, *, now: datetime) -> tuple[str, Path]:
    """An empty folder for something that is dropped, and its number. Raises StoreProblem.

    What was dropped days ago and never brought in makes room for it.
    """
    clear_left(wb, now=now)
    number = secrets.token_hex(8)
    folder = folder_of(wb) / f"{MARK}{number}"
    with kept(folder):
        folder.mkdir(parents=True)
    return number, folder


def place_of(wb: Workbench, number: str) -> Path:
    """The folder of something that was dropped. Raises NotFound where there is none, or none any more."""
    folder = folder_of(wb) / f"{MARK}{number}"
    if not ID.fullmatch(number) or not folder.is_dir():
        raise NotFound(
            "what was dropped is not here any more", todo="drop it again: what came in by then is kept"
        )
    return folder


def begin_study(wb: Workbench, text: bytes, *, now: datetime) -> Stage:
    """Take a study file in, and say which files it names. Raises BadRecord with all that is wrong in it."""
    number, folder = new_place(wb, now=now)
    try:
        with kept(folder):
            (folder / STUDY_FILE).write_bytes(text)
        found = sound(folder)
    except BadRecord:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    wanted = files_named(found)
    with kept(folder):
        (folder / "wanted.json").write_text(json.dumps([*wanted, *PAST]), encoding="utf-8")
    return Stage(id=number, folder=folder, title=found.study.title, wanted=wanted)


def sound(folder: Path) -> StudyFolder:
    """What a study file says. Raises BadRecord, in which no place of this machine is named."""
    with without_place(folder):
        text = study_text(folder / STUDY_FILE)
        draft = drafted(text, where=STUDY_FILE)
        problems = [*draft.problems, *metric_problems(draft.tests), *fact_problems(draft.facts)]
        if problems:
            raise refusal(problems, where=STUDY_FILE, lines=lines_of(draft.text))
    for name in files_named(draft.folder):
        if not inside(name):
            raise BadRecord(
                f"the file '{shown(name)}' lies outside of the study's folder",
                where=STUDY_FILE,
                todo="put it into the folder, and name it from there",
            )
    return draft.folder


def add_file(wb: Workbench, number: str, name: str, content: BinaryIO) -> None:
    """Take in one file that the study file names. Raises BadRecord for any other, NotFound, StoreProblem."""
    folder = place_of(wb, number)
    if name not in json.loads((folder / "wanted.json").read_text(encoding="utf-8")):
        raise BadRecord(
            "the study file names no such file",
            where=shown(name),
            todo="drop it by itself",
        )
    place = folder / name
    with kept(folder):
        place.parent.mkdir(parents=True, exist_ok=True)
        half = place.with_name(f"{place.name}.half")
        with half.open("wb") as file:
            shutil.copyfileobj(content, file, 2**20)
        half.replace(place)  # a sender that is cut off leaves no half of a log under its name


def clear(wb: Workbench, number: str) -> None:
    """Throw away what lay on its way."""
    shutil.rmtree(place_of(wb, number), ignore_errors=True)


def clear_left(wb: Workbench, *, now: datetime) -> int:
    """Throw away what was dropped days ago and never brought in; how many."""
    gone = 0
    for folder in sorted(folder_of(wb).glob(f"{MARK}*")):
        changed = datetime.fromtimestamp(folder.stat().st_mtime, tz=now.tzinfo)
        if now - changed > KEPT_FOR:
            shutil.rmtree(folder, ignore_errors=True)
            gone += 1
    return gone


@contextmanager
def kept(folder: Path) -> Iterator[None]:
    """Lets a full disk, or one that may not be written, be told in words."""
    try:
        yield
    except OSError as error:
        raise StoreProblem(
            f"what was dropped cannot be kept ({error.strerror})",
            where=str(folder.parent),
            todo="make room on the disk, and drop it again",
        ) from error


@contextmanager
def without_place(folder: Path) -> Iterator[None]:
    """Lets trouble name files from the study's folder on, as their owner knows them."""
    try:
        yield
    except BadRecord as trouble:
        where = trouble.where.removeprefix(str(folder)).lstrip("/\\") or STUDY_FILE
        found = trouble.found.replace(f"{folder}/", "")
        raise BadRecord(found, where=where, todo=trouble.todo) from trouble
