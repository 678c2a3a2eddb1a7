"""keep, set-aside, replace, reopen: decisions about runs, each with its history."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.bench.masking import DecidedMasked
    from evenhand.desk.runs.deciding import Decided
    from evenhand.records.runs import RunState

note = click.option("--note", default="", help="Why, in your own words; kept with the decision.")
masked = click.option(
    "--masked", is_flag=True, help="Names are hidden: RUN is an id from `runs STUDY --masked`; kept with it."
)

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
@masked
@as_json
@click.pass_obj
def keep(workbench: Path | None, run: str, note: str, masked: bool, as_json: bool) -> None:
    """Let a RUN count although a fault is on show (its id, the start of its id, or its label).

    Example: evenhand keep 3f9a --note "the room was warm, the clock did not fall"
    """
    from evenhand.desk.runs import deciding

    tell(decided(workbench, deciding.keep, run, quiet=as_json, masked=masked, note=note), as_json=as_json)


@click.command("set-aside", epilog=REASONS)
@click.argument("run")
@click.option("--reason", required=True, help="One of: rate-cap, wrong-settings, wrong-scene, duplicate, "
              "other-software, other-conditions, damaged-log, interrupted, rig-fault, other.")  # fmt: skip
@click.option("--leave-slot-out", is_flag=True, help="Leave its slot out too: it is not made again.")
@note
@masked
@as_json
@click.pass_obj
def set_aside(
    workbench: Path | None,
    run: str,
    reason: str,
    leave_slot_out: bool,
    note: str,
    masked: bool,
    as_json: bool,
) -> None:
    """Leave a RUN out of findings for a reason fixed in advance. It stays on record and in every view.

    Its slot of the plan comes up again, unless you leave that out too.

    Example: evenhand set-aside 3f9a --reason rate-cap
    """
    from evenhand.desk.runs import deciding

    verb = deciding.set_aside_for_good if leave_slot_out else deciding.set_aside
    told = decided(workbench, verb, run, quiet=as_json, masked=masked, note=note, reason=reason)
    tell(told, as_json=as_json)


@click.command("replace")
@click.argument("run")
@click.option("--by", required=True, help="The run that was made in its place.")
@note
@masked
@as_json
@click.pass_obj
def replace(workbench: Path | None, run: str, by: str, note: str, masked: bool, as_json: bool) -> None:
    """Leave a RUN out because another one was made in its place.

    Example: evenhand replace 3f9a --by 77c0
    """
    from evenhand.desk.runs import deciding

    told = decided(workbench, deciding.replace_run, run, quiet=as_json, masked=masked, note=note, by=by)
    tell(told, as_json=as_json)


@click.command("reopen")
@click.argument("run")
@note
@masked
@as_json
@click.pass_obj
def reopen(workbench: Path | None, run: str, note: str, masked: bool, as_json: bool) -> None:
    """Take the decision about a RUN back: it stands again where its faults put it.

    Example: evenhand reopen 3f9a
    """
    from evenhand.desk.runs import deciding

    told = decided(workbench, deciding.take_back, run, quiet=as_json, masked=masked, note=note)
    tell(told, as_json=as_json)


def decided(
    workbench: Path | None,
    decide: Callable[..., Decided],
    run: str,
    *,
    quiet: bool,
    masked: bool,
    note: str,
    **about: str,
) -> Decided | DecidedMasked:
    """What comes of a decision about the run of this name; with `masked` both runs go by masked ids."""
    from evenhand.desk.bench.hiding import refuse_hidden_run
    from evenhand.desk.bench.masking import decide_masked, find_masked
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.runs.said import Said

    with open_desk(workbench, create=False) as wb, progress("judging again", quiet=quiet) as watch:
        if not masked:
            refuse_hidden_run(wb, run)
        if masked and "by" in about:
            about["by"] = find_masked(wb, about["by"]).run.id
        said = Said(now=present(), note=note, masked=masked)
        about_run = partial(decide, wb, said=said, watch=watch, **about)
        return decide_masked(wb, run, about_run) if masked else about_run(run)


def tell(told: Decided | DecidedMasked, *, as_json: bool) -> None:
    """The run as it stands now, and what else changed with it."""
    from evenhand.desk.answers import decided_answer
    from evenhand.desk.bench.masking import DecidedMasked

    if as_json:
        say_json(decided_answer(told))
        return
    if isinstance(told, DecidedMasked):
        stands = [(each.id, f"{each.test}, {each.setup}", each.state) for each in (told.run, *told.also)]
        tell_states(stands, told.warnings, next_step=f"evenhand runs {told.study} --masked --in-doubt")
        return
    stands = [(each.run.id, each.run.label, each.state) for each in (told.run, *told.also)]
    tell_states(stands, told.warnings, next_step=f"evenhand compare {told.run.run.study}")


def tell_states(
    stands: Sequence[tuple[str, str, RunState]], warnings: Sequence[str], *, next_step: str
) -> None:
    """Runs by id and name with where they stand now; the first is the one that was decided about."""
    (run, name, state), *also = stands
    say(f"{run} ({name}): {state.value}")
    for run, name, state in also:
        say(f"  and {run} ({name}) is now {state.value}")
    for words in warnings:
        say(f"  {words}")
    say(f"Next: {next_step}")


COMMANDS = (keep, set_aside, replace, reopen)
