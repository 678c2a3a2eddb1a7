"""A study's folder on disk: its study.toml read, its files found."""

from __future__ import annotations

from pathlib import Path

from evenhand.desk.logs.named_files import refuse_leading_out, unusable_files
from evenhand.desk.logs.past import Past
from evenhand.desk.parts.fact_checks import fact_problems
from evenhand.desk.study.metric_checks import metric_problems
from evenhand.errors import BadRecord
from evenhand.folders.history_file import HISTORY_FILE, RESULTS_FILE
from evenhand.folders.lines import lines_of
from evenhand.folders.problems import refusal
from evenhand.folders.reading import drafted
from evenhand.folders.study_folder import STUDY_FILE, StudyFolder

LONGEST_STUDY_FILE_BYTES = 16 * 2**20  # a hand-written study of ten thousand runs is about 2 MB


def open_folder(folder: Path) -> StudyFolder:
    """What the folder's study.toml says.

    Raises BadRecord with all that is wrong in it: a test that names a number which may not be compared and
    files that are missing too. Where nothing is, a line of its history or of its frozen results that cannot
    be used is told.
    """
    path = folder / STUDY_FILE
    for own in (STUDY_FILE, HISTORY_FILE, RESULTS_FILE):
        refuse_leading_out(folder, own, BadRecord)
    text = study_text(path)
    draft = drafted(text, where=str(path))
    problems = [
        *draft.problems,
        *metric_problems(draft.tests),
        *fact_problems(draft.facts),
        *unusable_files(folder, draft.folder, text),
    ]
    if problems:
        raise refusal(problems, where=str(path), lines=lines_of(draft.text))
    Past(folder=folder, found=draft.folder).check()
    return draft.folder


def study_text(path: Path) -> str:
    """The text of a study file. Raises BadRecord where it cannot be read as UTF-8 text."""
    try:
        if path.stat().st_size > LONGEST_STUDY_FILE_BYTES:
            raise BadRecord("the file is too large for a study file", where=str(path), todo="check its name")
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise BadRecord(
            f"there is no {STUDY_FILE} here",
            where=str(path.parent),
            todo="write one (docs/formats-study.md), or name the folder that holds it",
        ) from error
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise BadRecord(
            "the text is not UTF-8", where=f"{path}, line {line}", todo="save the file as UTF-8"
        ) from error
    except OSError as error:
        raise BadRecord(
            f"cannot be read ({error.strerror})", where=str(path), todo="check its rights"
        ) from error
