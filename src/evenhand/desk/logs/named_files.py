"""The files that a study file names: whether each lies in its folder, and on which line it is named."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from evenhand.errors import EvenhandError, nearest
from evenhand.folders.problems import Problem
from evenhand.folders.study_folder import StudyFolder, files_named

SHOWN = 5
MOST_NAMES = 2000  # of a folder that are looked through for one that is nearly meant
LEADS_OUT = "it is a link that leads out of the folder"
NO_LINK = "put the file itself into the folder: a study folder is self-contained"


def unusable_files(folder: Path, found: StudyFolder, text: str) -> Iterator[Problem]:
    """The files that are named and not there, in one problem; each link that leads out in its own."""
    missing = []
    for name in files_named(found):
        if leads_out(folder, name):
            yield Problem(path=(), found=f"{name}: {LEADS_OUT}", todo=NO_LINK, line=line_of(name, text))
        elif not (folder / name).is_file():
            missing.append(name)
    if missing:
        told = ", ".join(f"{name}{_instead(folder, name)}" for name in missing[:SHOWN])
        more = f" and {len(missing) - SHOWN} more" if len(missing) > SHOWN else ""
        count = "1 named file is" if len(missing) == 1 else f"{len(missing)} named files are"
        yield Problem(
            path=(),
            found=f"{count} not there: {told}{more}",
            todo="put them into the folder, or take their runs out of the study file",
            line=line_of(missing[0], text),
        )


def leads_out(folder: Path, name: str) -> bool:
    """Whether a name in the folder is a link, or lies below one, to something outside of it."""
    try:
        return not (folder / name).resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # a link that leads to itself: it is told as a file that is not there
        return False


def refuse_leading_out(folder: Path, name: str, kind: type[EvenhandError]) -> None:
    """Raises `kind` for a link that leads out of the folder."""
    if leads_out(folder, name):
        raise kind(LEADS_OUT, where=name, todo=NO_LINK)


def line_of(name: str, text: str) -> int | None:
    """The first line of a study file on which a file is named; None where it is written in another way."""
    quoted = (f'"{name}"', f"'{name}'")
    lines = text.splitlines()
    return next((k for k, line in enumerate(lines, start=1) if any(q in line for q in quoted)), None)


def _instead(folder: Path, name: str) -> str:
    """What stands under the name that is no file, or which name beside it is nearly the same."""
    path = folder / name
    if path.is_dir():
        return " (a folder)"
    if path.exists():
        return " (no plain file)"
    try:
        with os.scandir(path.parent) as entries:
            there = [entry.name for entry, _ in zip(entries, range(MOST_NAMES), strict=False)]
    except OSError:
        return ""
    alike = [each for each in there if each.casefold() == path.name.casefold()]
    hint = f"did you mean '{alike[0]}'?" if alike else nearest(path.name, there)
    return f" ({hint})" if hint.startswith("did") else ""
