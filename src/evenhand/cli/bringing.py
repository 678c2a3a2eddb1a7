"""import, export, columns: what comes onto the workbench and what leaves it."""

from __future__ import annotations

import shlex
import sys
from dataclasses import asdict, replace
from functools import partial
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.brought import (
    change_words,
    elsewhere_words,
    missing_past_words,
    shared_orders_words,
    tuned_words,
    waiting_words,
)
from evenhand.cli.putting_away import tell_away
from evenhand.cli.recalling import disagreement_words
from evenhand.cli.showing import Watch, as_json, console, progress, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.logs.column_questions import ColumnGuess, Question
    from evenhand.desk.logs.columns import LogLook
    from evenhand.desk.logs.importing import ImportReport
    from evenhand.desk.logs.importing_runs import Refused

FOLDER = click.Path(file_okay=False, path_type=Path)
FILE = click.Path(dir_okay=False, path_type=Path)


@click.command("import")
@click.argument("folder", type=FOLDER)
@click.option("--yes", is_flag=True, help="Confirm without asking what columns are, where the guess is sure.")
@as_json
@click.pass_obj
def import_(workbench: Path | None, folder: Path, yes: bool, as_json: bool) -> int:
    """Bring a study's FOLDER in: its study.toml and every log it names.

    Importing again is safe: a run is known by its bytes, and only what changed is changed.

    Example: evenhand import examples/real-frames
    """
    from evenhand.desk.logs.importing import import_folder
    from evenhand.desk.logs.study_folders import open_folder
    from evenhand.desk.opening import open_desk, present

    open_folder(folder)  # what cannot be read is refused before a workbench is made for it
    with open_desk(workbench) as wb, progress("importing", quiet=as_json) as watch:
        ask = (lambda question: question.sure) if yes else None if as_json else partial(ask_on_screen, watch)
        now = present()
        report = import_folder(wb, folder, now=now, ask=ask, watch=watch, until=now)
    if as_json:
        say_json(import_answer(report))
    else:
        tell_import(report, folder)
    return 1 if report.needs_you else 0


def import_answer(report: ImportReport) -> dict[str, object]:
    """``import --json``."""
    from evenhand.desk.answers import change_answer

    return {
        "study": report.study,
        "new": report.new,
        "changed": report.changed,
        "same": report.same,
        "decisions": report.decisions,
        "refused": [{"file": one.file, "why": one.why} for one in report.refused],
        "waiting": [each.run.id for each in report.waiting],
        "not_named": [run.id for run in report.not_named],
        "changes": [change_answer(change) for change in report.changes],
        "shared_orders": [asdict(each) for each in report.shared_orders],
        "elsewhere": [{"label": label, "words": words} for label, words in report.elsewhere],
        "disagreeing": list(report.disagreeing),
        "missing_past": asdict(report.missing_past) if report.missing_past else None,
        "tuned": asdict(report.tuned),
    }


def tell_import(report: ImportReport, folder: Path) -> None:
    """What an import did, in words, and what to do next."""
    new = "1 new run" if report.new == 1 else f"{report.new} new runs"
    say(f"{report.study}: {new}, {report.changed} changed, {report.same} known already.")
    for words in tuned_words(report):
        say(f"  {words}")
    for own in alike(report):
        others = f" (and {len(own) - 1} more with the same header)" if len(own) > 1 else ""
        say(f"  refused: {own[0].why}{others}")
    told = (
        missing_past_words(report),
        change_words(report),
        shared_orders_words(report),
        elsewhere_words(report),
        disagreement_words(report.disagreeing),
    )
    for words in chain.from_iterable(told):
        say(f"  {words}")
    for run in report.not_named:
        say(f"  on record, but no longer named by the folder: {run.id} ({run.label})")
    if report.not_named:
        say("  These still count. Set aside what was mistyped: evenhand set-aside RUN --reason …")
    for words in waiting_words(report):
        say(f"  {words}")
    unconfirmed = [own[0] for own in alike(report) if own[0].header]
    if unconfirmed:
        tell_confirming(unconfirmed, folder)
    else:
        say(f"Next: evenhand runs {report.study}, then evenhand compare {report.study}")


def alike(report: ImportReport) -> list[list[Refused]]:
    """The refused files, those with one header that nobody confirmed together."""
    groups: dict[object, list[Refused]] = {}
    for one in report.refused:
        groups.setdefault((one.header, one.sure) if one.header else one, []).append(one)
    return list(groups.values())


def tell_confirming(unconfirmed: list[Refused], folder: Path) -> None:
    """How to confirm columns, one log for each header, and to go on."""
    say("Next: say what the columns are, once for each header:")
    for one in unconfirmed:
        log = shlex.quote(str(folder / one.file))
        if one.sure:
            say(f"  evenhand columns {log} --confirm")
        else:
            say(f"  evenhand columns {log}   (the guess is not sure: look, then --confirm or name a layout)")
    say(f"then again: evenhand import {shlex.quote(str(folder))}")


def ask_on_screen(watch: Watch, question: Question) -> bool:
    """Show a log's first rows and the guess for each column; yes only from a person at a terminal."""
    if not (console(stderr=True).is_terminal and sys.stdin.isatty()):
        return False
    with watch.paused():
        show_question(question)
        return click.confirm("Are these columns what they seem to be?", default=False, err=True)


def show_question(question: Question) -> None:
    """The first rows of a log and the guess for every column, with its reason."""
    say(f"{question.file}: {question.dialect}; taken for a log of {question.kind}")
    if not question.sure:
        say(f"Not sure: {question.doubt}.")
    headers = [column.header for column in question.columns]
    table(headers, [list(row)[: len(headers)] for row in question.preview[:4]])
    say()
    table(
        ["column", "role", "unit", "of", "why"],
        [[c.header, c.role, c.unit, c.about, told_reason(c)] for c in question.columns],
    )


def told_reason(guess: ColumnGuess) -> str:
    """Why a column is taken for what it is, and whether that is sure."""
    return guess.reason if guess.sure else f"not sure: {guess.reason}"


@click.command("columns")
@click.argument("log", type=FILE)
@click.option(
    "--confirm",
    is_flag=True,
    help="Remember the guess for every log with this header, in place of what was remembered.",
)
@as_json
@click.pass_obj
def columns(workbench: Path | None, log: Path, confirm: bool, as_json: bool) -> None:
    """Show what the columns of a LOG seem to be, and confirm them once.

    Where the guess is wrong, write a layout into study.toml instead (docs/formats-study.md).

    Example: evenhand columns logs/crowd-market.csv --confirm
    """
    from evenhand.desk.logs.alike import land_alike
    from evenhand.desk.logs.columns import confirm_columns, look_at_log
    from evenhand.desk.opening import open_desk, open_if_there, present

    freed = 0
    with open_if_there(workbench) as known:
        look = look_at_log(known, log)
    if confirm:
        with open_desk(workbench) as wb:
            look = replace(look, remembered=confirm_columns(wb, look, now=present()))
            freed = land_alike(wb, by="command line", now=present(), watch=lambda *_: None)
    if as_json:
        say_json(columns_answer(look))
        return
    show_question(look.question)
    say()
    tell_standing(look)
    if freed:
        were = "file that had waited for these columns is" if freed == 1 else "files that had waited are"
        say(f"{freed} {were} filed now.")


def tell_standing(look: LogLook) -> None:
    """Whether the guess is confirmed, or what is remembered in its place."""
    if look.remembered is None:
        say("Confirm with --confirm, or name a layout in study.toml.")
    elif not look.otherwise:
        say("These columns are confirmed.")
    else:
        say("For this header other columns are remembered, and used in place of the guess:")
        for words in look.otherwise:
            say(f"  {words}")
        say("With --confirm the guess takes their place.")


def columns_answer(look: LogLook) -> dict[str, object]:
    """``columns --json``."""
    question = look.question
    return {
        "file": question.file,
        "dialect": question.dialect,
        "kind": question.kind.value,
        "confirmed": look.remembered is not None,
        "otherwise": list(look.otherwise),
        "sure": question.sure,
        "doubt": question.doubt,
        "columns": [
            {"column": c.header, "role": c.role, "unit": c.unit, "about": c.about, "reason": c.reason,
             "sure": c.sure}
            for c in question.columns
        ],
        "preview": [list(row) for row in question.preview],
    }  # fmt: skip


@click.command("export")
@click.argument("study")
@click.argument("folder", type=FOLDER)
@as_json
@click.pass_obj
def export(workbench: Path | None, study: str, folder: Path, as_json: bool) -> None:
    """Write a STUDY into a new FOLDER: its study.toml, decisions included, and every original log.

    Example: evenhand export saltmarsh backup/saltmarsh
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.logs.exporting import export_study
    from evenhand.desk.opening import open_desk

    with open_desk(workbench, create=False) as wb, progress("exporting", quiet=as_json) as watch:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        report = export_study(wb, study, folder, watch=watch)
    if as_json:
        say_json({
            "study": report.study, "folder": str(report.folder), "runs": report.runs,
            "files": report.files, "bytes": report.bytes_written,
        })  # fmt: skip
        return
    say(
        f"{report.runs} runs in {report.files} files, {report.bytes_written / 1e6:.1f} MB, in {report.folder}"
    )


COMMANDS = (import_, columns, export)
