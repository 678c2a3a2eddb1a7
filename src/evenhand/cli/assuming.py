"""assume: what a study assumes of money."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from evenhand.cli.for_whom import hours_span
from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json


@click.command("assume")
@click.argument("study")
@click.option("--years", type=float, default=None, help="How long a machine is kept.")
@click.option("--repairs", default=None, metavar="AMOUNT", help="Set aside each year; 0 for nothing.")
@click.option("--resale", callback=hours_span, metavar="60..80",
              help="What share of its price a machine would fetch at once, in per cent.")  # fmt: skip
@click.option("--loses", "lost", callback=hours_span, metavar="20..35",
              help="What share of that it loses each year, in per cent.")  # fmt: skip
@click.option("--budget", default=None, metavar="AMOUNT", help="What a machine may cost; 0 for no limit.")
@click.option("--cash", default=None, metavar="AMOUNT", help="There today for changes; 0 for nothing.")
@click.option("--saved", default=None, metavar="AMOUNT", help="What comes to it each month; 0 for nothing.")
@click.option("--months", "horizon_months", type=int, default=None, help="How far paths look ahead.")
@as_json
@click.pass_obj
def assume(workbench: Path | None, /, study: str, as_json: bool, **given: Any) -> None:
    """Say what a STUDY assumes of money: how long a machine is kept, what it fetches, what is saved.

    What is not given stays. With nothing given, the terms are shown.

    Example: evenhand assume saltmarsh --years 4 --resale 55..75 --loses 20..30
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.pages.money_terms import terms_part
    from evenhand.desk.study.assuming import assumed, put_terms
    from evenhand.desk.study.on_shelf import study_called

    said = {name: value for name, value in given.items() if value is not None}
    with open_desk(workbench, create=False) as wb:
        change = 0
        if said:
            whole = {**assumed(study_called(wb, study)), **said}
            for name in ("repairs", "budget", "cash", "saved"):
                whole[name] = None if whole.get(name) == "0" else whole.get(name)
            change = put_terms(wb, study, whole, now=present()).change
        else:
            tell_away(wb, study, as_json=as_json)
        record = study_called(wb, study)
    if as_json:
        say_json({"study": study, "change": change, "said": record.money is not None, **assumed(record)})
        return
    told = terms_part(record)
    if told.usual:
        say(told.usual)
    for name, words in told.lines:
        say(f"{name}: {words}")


COMMANDS = (assume,)
