"""watts: what a tuned part draws, and at which clock it does the most work for a joule."""

from __future__ import annotations

from pathlib import Path

import click

from evenhand.cli.showing import as_json, say, say_json


@click.command("watts")
@click.argument("setup")
@click.argument("part", required=False, default="")
@click.option("--load", default="", help="Trials under this load (default: that of the last trial).")
@click.option("--study", default="", metavar="KEY",
              help="Work follows the clock as this study's tests measured it.")  # fmt: skip
@as_json
@click.pass_obj
def watts(workbench: Path | None, setup: str, part: str, load: str, study: str, as_json: bool) -> None:
    """Tell what a PART of a SETUP draws by its trials, and which clock does the most work for a joule.

    Watts at the wall and at the part are two meters, and go into no law together.

    Example: evenhand watts plover-mild processor --study saltmarsh
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.tuning.asking_watts import asked_watts
    from evenhand.desk.tuning.watts_said import watts_answer, watts_said

    with open_desk(workbench, create=False) as wb:
        if study:  # how tests follow the clock tells of states by their results
            refuse_hidden_study(wb, study)
        found = asked_watts(wb, setup, part, load=load, study=study)
    if as_json:
        say_json(watts_answer(found))
        return
    for line in watts_said(found):
        say(line)


COMMANDS = (watts,)
