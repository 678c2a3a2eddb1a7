"""ask: what the record has to say to a question from the audience."""

from __future__ import annotations

from pathlib import Path

import click

from evenhand.cli.showing import as_json, say, say_json


@click.command("ask")
@click.argument("study")
@click.argument("question", nargs=-1, required=True)
@as_json
@click.pass_obj
def ask(workbench: Path | None, study: str, question: tuple[str, ...], as_json: bool) -> None:
    """Answer a QUESTION from the audience out of the record of a STUDY, and never beyond it.

    Each sentence is told as measured, as following from what was measured, or as not known, with the address
    by which it can be quoted.

    Example: evenhand ask saltmarsh "Is Plover better than Dunlin for Mostly play under 1,000 dl?"
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.verdict.answering import answer, question_answer

    with open_desk(workbench, create=False) as wb:
        found = answer(wb, study, " ".join(question))
    if as_json:
        say_json(question_answer(found, study))
        return
    say(f"{found.known.value[:1].upper()}{found.known.value[1:]}.")
    for told in found.budget:
        say(f"  {told}")
    for line in found.lines:
        say(f"  {line.words}")
        if line.address:
            say(f"    {line.known.value}, {line.address}")


COMMANDS = (ask,)
