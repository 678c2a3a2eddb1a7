"""cut: which part of a test's logs, or of one run's, is measured."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from evenhand.cli.showing import as_json, say, say_json


@click.command("cut")
@click.argument("run")
@click.option("--from", "start_s", type=float, default=0.0, help="Measure from here, seconds into the log.")
@click.option("--to", "end_s", type=float, help="Measure up to here; to the end of each log unless said.")
@click.option("--because", "reason", default="", help="Why, in your own words; needed with --alone.")
@click.option("--alone", is_flag=True, help="Cut this RUN otherwise than its siblings.")
@click.option("--whole", is_flag=True, help="Measure the whole log again; with --alone, as its test says.")
@click.option("--look", is_flag=True, help="Say what would change, and store nothing.")
@click.option("--undo", type=int, help="Put back what the change with this number replaced.")
@as_json
@click.pass_obj
def cut(workbench: Path | None, /, run: str, *, as_json: bool, undo: int | None, **asked: Any) -> None:
    """Measure only a part of every run of the test that RUN is of (its id, its start, or its label).

    The log stays whole, and numbers, faults and findings follow the part that is measured.

    Example: evenhand cut 3f9a --from 5 --to 65 --because "the scene loads at first"
    """
    from evenhand.desk.bench.hiding import refuse_hidden_run
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.runs import cut_answers

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_run(wb, run)
        if undo is not None:
            told = cut_answers.uncut(wb, undo, now=present())
        elif asked["look"]:
            told = cut_answers.look(wb, wanted(wb, run, asked))
        else:
            told = cut_answers.cut(wb, wanted(wb, run, asked), now=present())
    if as_json:
        say_json(told)
    elif undo is not None:
        say(f"Put back, by change {told['change']}: {told['runs']} runs are measured as before.")
    else:
        tell(told)


def wanted(wb: Any, run: str, asked: dict[str, Any]) -> Any:
    """What is asked for, as the desk takes it."""
    from evenhand.desk.runs.cutting import CutAsked
    from evenhand.desk.runs.deciding import find_run
    from evenhand.records.windows import Window

    window = None
    if not asked["whole"]:
        sides = {side: asked[side] for side in ("start_s", "end_s")}
        window = Window(**sides, reason=asked["reason"], by="this computer")
    return CutAsked(run=find_run(wb, run).run.id, window=window, every=not asked["alone"])


def tell(told: dict[str, Any]) -> None:
    """What a cut changes, or changed, a line for each run and finding."""
    for why in told["unfit"].values():
        say(f"Does not fit: {why}")
    for one in told["runs"]:
        say(f"{one['label']}: {', '.join(lines(one['before'], one['after']))}")
    for one in told["findings"]:
        sides = " → ".join(f"{one[side]['outcome']} {percent(one[side]['ratio'])}" for side in SIDES)
        say(f"{one['a']} to {one['b']}, {one['metric']}: {sides}")
    if told["change"]:
        say(f"Stored as change {told['change']}.")
        say(f"To put it back: evenhand cut {told['run']} --undo {told['change']}")
    elif told["change"] == 0:
        say("It stood so already; nothing was changed.")
    else:
        say("Nothing was stored: leave out --look to cut so.")


SIDES = ("before", "after")


def lines(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    """Each number of a run before and after, and where it stands if that is another."""
    found = []
    for key, was in before.items():
        now = after.get(key, "none")
        shown = [f"{value:.4g}" if isinstance(value, float) else str(value) for value in (was, now)]
        if key != "state" or was != now:
            found.append(f"{key} {' → '.join(shown)}")
    return found


def percent(ratio: float | None) -> str:
    """A ratio as a difference in per cent."""
    return "" if ratio is None else f"{100 * (ratio - 1):+.1f} %".replace("-", "−")


COMMANDS = (cut,)
