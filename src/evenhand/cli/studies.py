"""studies: what is on the workbench, those that are put away apart."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.listing import StudyLine


@click.command("studies")
@as_json
@click.pass_obj
def studies(workbench: Path | None, as_json: bool) -> None:
    """List the studies on the workbench; those that are put away stand apart.

    Example: evenhand studies
    """
    from evenhand.desk.listing import list_studies, study_line_answer
    from evenhand.desk.opening import open_desk

    with open_desk(workbench, create=False) as wb:
        lines = list_studies(wb)
    if as_json:
        say_json({"studies": [study_line_answer(line) for line in lines]})
        return
    tell_studies([line for line in lines if line.away is None])
    tell_those_away([line for line in lines if line.away is not None])


def tell_studies(lines: list[StudyLine]) -> None:
    """The studies that somebody may work on."""
    table(["study", "title", "runs", "in doubt"], [row_of(line) for line in lines], right=(2, 3))


def tell_those_away(lines: list[StudyLine]) -> None:
    """The studies that are put away, with since when and why; nothing where there are none."""
    from evenhand.desk.study.away import since_words

    if lines:
        say()
        say("Put away:")
        rows = [[*row_of(line), since_words(line.away) if line.away else ""] for line in lines]
        table(["study", "title", "runs", "in doubt", "since"], rows, right=(2, 3))


def row_of(line: StudyLine) -> list[str]:
    """One study in a table."""
    return [line.study.key, line.study.title, str(line.runs), str(line.in_doubt)]


COMMANDS = (studies,)
