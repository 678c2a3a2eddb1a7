"""keep, set-aside, replace, reopen: decisions about runs, each with its history."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.deciding import Decided

note = click.option("--note", default="", help="Why, in your own words; kept with the decision.")

# Spelt out here as well, so that `--help` need not load the rooms behind the door; tests hold both alike.
REASONS = """\b
Reasons:
  rate-cap          a limiter or a screen held the rate
  wrong-settings    resolution, quality or another setting was not the test's
  wrong-scene       another scene, save or route was run
  duplicate         the same recording as another run
  other-software    a driver, system or version that its siblings did not have
  other-conditions  room, cooling or power were not those of the study: a result of its own
  damaged-log       the log is cut off, or holds what no machine does
  interrupted       something came between: a message, an update, a person
  rig-fault         the rig itself was at fault: a loose cable, a stuck fan
  other             none of these; needs a note that says what
"""


@click.command("keep")
@click.argument("run")
@note
@as_json
@click.pass_obj
def keep(workbench: Path | None, run: str, note: str, as_json: bool) -> None:
    """Let a RUN count although a fault is on show (its id, the start of its id, or its label).

    Example: evenhand keep 3f9a --note "the room was warm, the clock did not fall"
    """
    from evenhand.desk import deciding
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb, progress("judging again", quiet=as_json) as watch:
        decided = deciding.keep(wb, run, note=note, now=present(), watch=watch)
    tell(decided, as_json=as_json)


@click.command("set-aside", epilog=REASONS)
@click.argument("run")
@click.option("--reason", required=True, help="One of: rate-cap, wrong-settings, wrong-scene, duplicate, "
              "other-software, other-conditions, damaged-log, interrupted, rig-fault, other.")  # fmt: skip
@note
@as_json
@click.pass_obj
def set_aside(workbench: Path | None, run: str, reason: str, note: str, as_json: bool) -> None:
    """Leave a RUN out of findings for a reason fixed in advance. It stays on record and in every view.

    Example: evenhand set-aside 3f9a --reason rate-cap
    """
    from evenhand.desk import deciding
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb, progress("judging again", quiet=as_json) as watch:
        decided = deciding.set_aside(wb, run, reason=reason, note=note, now=present(), watch=watch)
    tell(decided, as_json=as_json)


@click.command("replace")
@click.argument("run")
@click.option("--by", required=True, help="The run that was made in its place.")
@note
@as_json
@click.pass_obj
def replace(workbench: Path | None, run: str, by: str, note: str, as_json: bool) -> None:
    """Leave a RUN out because another one was made in its place.

    Example: evenhand replace 3f9a --by 77c0
    """
    from evenhand.desk import deciding
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb, progress("judging again", quiet=as_json) as watch:
        decided = deciding.replace_run(wb, run, by=by, note=note, now=present(), watch=watch)
    tell(decided, as_json=as_json)


@click.command("reopen")
@click.argument("run")
@note
@as_json
@click.pass_obj
def reopen(workbench: Path | None, run: str, note: str, as_json: bool) -> None:
    """Take the decision about a RUN back: it stands again where its faults put it.

    Example: evenhand reopen 3f9a
    """
    from evenhand.desk import deciding
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb, progress("judging again", quiet=as_json) as watch:
        decided = deciding.take_back(wb, run, note=note, now=present(), watch=watch)
    tell(decided, as_json=as_json)


def tell(decided: Decided, *, as_json: bool) -> None:
    """The run as it stands now, and what else changed with it."""
    from evenhand.desk.answers import run_answer

    if as_json:
        say_json({"run": run_answer(decided.run), "also": [run_answer(other) for other in decided.also]})
        return
    run = decided.run.run
    say(f"{run.id} ({run.label}): {decided.run.state.value}")
    for other in decided.also:
        say(f"  and {other.run.id} ({other.run.label}) is now {other.state.value}")
    say(f"Next: evenhand compare {run.study}")


COMMANDS = (keep, set_aside, replace, reopen)
