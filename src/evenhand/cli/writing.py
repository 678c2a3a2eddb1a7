"""script: what the reviewer writes, held against the record before anybody hears it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.bundles import DAYS, NUMBERS
from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.publication.scripts import Checked
    from evenhand.prose.objection import Objection

BY = "this computer"
WIDE = 100  # characters of an excerpt
NEEDS_YOU = 1  # the exit code where something is objected to


@click.command("script")
@click.argument("study")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--text", is_flag=True, help="Print the narration with its figures filled, and nothing else.")
@click.option("--save", is_flag=True, help="Keep it as the script of the study, whatever is objected to.")
@click.option("--numbers", type=NUMBERS, default=None, help="With --text: as in `texts`.")
@click.option("--days", type=DAYS, default=None, help="With --text: as in `texts`.")
@click.option("--language", default="en", show_default=True, help="The language whose rules are used.")
@as_json
@click.pass_context
def script(
    context: click.Context, /, study: str, file: Path, *, text: bool, save: bool, as_json: bool, **how: str
) -> None:
    """Check a script, a Markdown FILE, against the record of a STUDY, sentence by sentence.

    Each objection says where, why, what the sentence was taken for, and what would stand. Figures
    are written as references, as in {lead of plover over dunlin in causeway, with range}.

    Example: evenhand script saltmarsh narration.md
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.publication.narrating import keep_script
    from evenhand.desk.publication.script_answers import script_answer
    from evenhand.desk.publication.scripts import check_script, read_script
    from evenhand.desk.publication.written_for import form_of, narration_written

    with open_desk(context.obj, create=False) as wb, progress("Checking", quiet=as_json or text):
        refuse_hidden_study(wb, study)
        written = read_script(file)
        checked = check_script(wb, study, written, language=how["language"])
        if save:
            keep_script(wb, study, written, by=BY, now=present())
        form = form_of(wb, how["numbers"], how["days"])
        told = narration_written(wb, study, checked.narration, form) if text else ""
    if as_json:
        say_json(script_answer(checked, study))
    elif text:
        say(told.rstrip("\n"))
    else:
        tell_script(checked, file)
    if checked.objections:
        context.exit(NEEDS_YOU)


def tell_script(checked: Checked, file: Path) -> None:
    """What is objected to, then chapters with their times."""
    from evenhand.prose.timing import time_code

    for each in checked.objections:
        tell_objection(each, file)
    n = len(checked.objections)
    said = f"{n} objection{'' if n == 1 else 's'}."
    say(said if n else "Nothing is objected to.")
    if checked.untold:
        say("To be said on screen or in words, and not said yet:")
    for told in checked.untold:
        say(f"  {told}")
    if checked.cautions:
        say("To be known with what it quotes of tuned parts:")
    for told in checked.cautions:
        say(f"  {told}")
    times = checked.times
    say(f"{times.words} words, {time_code(times.seconds)} to speak.")
    for chapter in times.chapters:
        say(f"  {time_code(chapter.start_s)}  {chapter.title or 'without chapters'}")
    for cue in times.cues:
        say(f"  {time_code(cue.start_s)}  card: {cue.card}")


def tell_objection(objection: Objection, file: Path) -> None:
    """One objection."""
    from evenhand.prose.objection import ADVISED

    place = objection.place
    words = " ".join(objection.excerpt.split())
    say(f"{file}:{place.line}:{place.column}: {words if len(words) <= WIDE else words[:WIDE] + ' …'}")
    say(f"  {objection.rule.value}: {objection.reason}")
    if objection.taken_for:
        say(f"  {objection.taken_for}")
    if objection.would_stand:
        say(
            f"  {objection.instead if objection.rule in ADVISED else f'would stand: {objection.would_stand}'}"
        )


COMMANDS = (script,)
