"""show-names: show the names of builds before the plan is done, which stays on record."""

from __future__ import annotations

from pathlib import Path

import click

from evenhand.cli.showing import as_json, say, say_json


@click.command("show-names")
@click.argument("study")
@as_json
@click.pass_obj
def show_names(workbench: Path | None, study: str, as_json: bool) -> None:
    """Show the names of a STUDY's builds before its plan is done. From then on the comparison says so.

    Example: evenhand show-names saltmarsh
    """
    from evenhand.desk.bench.hiding import show_names_of
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb:
        shown = show_names_of(wb, study, by="this computer", now=present())
    if as_json:
        say_json({"study": study, "shown": shown})
    elif shown:
        say("Names show. From now on the comparison says: names were shown before the plan was done.")
    else:
        say("Names are not hidden; nothing was changed.")


COMMANDS = (show_names,)
