"""trials: every trial of a part, taken back and put back; the one that runs, and how it is asked to stop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.mistakes import puts_back, takes_back
from evenhand.cli.showing import as_json, say, say_json, table
from evenhand.cli.tuning import part, setup, why

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk
    from evenhand.records.trials import Trial, Tuned
    from evenhand.records.turns import Turn
    from evenhand.records.under_way import UnderWay


@click.command("trials")
@setup
@part
@takes_back("trial", why=True)
@puts_back("trial", why=True)
@click.option("--stop", is_flag=True, help="Ask that the trial be ended that a rig runs just now.")
@click.option("--give-up", is_flag=True,
              help="No record will come of the trial that a rig ran: tell it as running no more. "
                   "Needs --why.")  # fmt: skip
@why
@as_json
@click.pass_obj
def trials(
    workbench: Path | None, /, setup: str, part: str, as_json: bool, **asked: Any
) -> None:  # fmt: skip
    """List every trial of a PART of a SETUP, those that were taken back with the reason, and what runs there.

    A stop reaches a rig with its next word to the workbench, while that is open.

    Example: evenhand trials plover-mild processor --take-back 3 --why "the fan was unplugged"
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.tuning import noting
    from evenhand.desk.tuning.answers import trials_answer
    from evenhand.desk.tuning.series import trials_ever, turns_of_trials
    from evenhand.desk.tuning.under_way import running_of

    with open_desk(workbench, create=False) as wb:
        part = part or noting.only_part(wb, setup)
        do(wb, setup, part, asked)
        of = noting.tuned_part(wb, setup, part)
        every, turns = trials_ever(wb, setup, part)[0], turns_of_trials(wb)
        now_running = running_of(wb, setup, part)
    if as_json:
        say_json(trials_answer(of, every, turns, now_running))
        return
    tell_running(of, now_running)
    tell_trials(of, every, turns)


def do(wb: Desk, setup: str, part: str, asked: Mapping[str, Any]) -> None:
    """What was asked for besides the list."""
    from evenhand.desk.opening import present
    from evenhand.desk.tuning import noting, under_way

    now, why = present(), asked["why"]
    if asked["take_back"] is not None:
        noting.take_back_trial(wb, setup, part, asked["take_back"], why, now=now)
    if asked["put_back"] is not None:
        noting.put_back_trial(wb, setup, part, asked["put_back"], why, now=now)
    if asked["stop"]:
        under_way.ask_stop(wb, setup, part, by="this computer", now=now)
    if asked["give_up"]:
        under_way.give_up(wb, setup, part, why, now=now)


def tell_running(of: Tuned, found: Sequence[UnderWay]) -> None:
    """What runs, as it was last written down: a site that is open hears more of it."""
    from evenhand.desk.opening import own_clock, present
    from evenhand.publish.tuning import under_way as words

    now = present()
    for each in found:
        say(f"A trial runs: {words.set_words(each, of)}. {words.where_words(each, now, own_clock)}.")
        at = words.moment_words(each.heard_at, now, own_clock)
        say(f"  {words.OVER if each.over else words.noted_words(each, at)}")
        if asked := words.stop_words(each, now, own_clock, live=False):
            say(f"  {asked}")


def tell_trials(of: Tuned, every: Sequence[Trial], turns: Mapping[int, Sequence[Turn]]) -> None:
    """Every trial as a row."""
    from evenhand.publish.direction import isolated
    from evenhand.publish.tuning.trials import ended_words, turn_words
    from evenhand.publish.tuning.words import note_words, point_words

    if not every:
        say(f"No trial of the {of.part} of {of.setup} is on record.")
        return
    rows = [
        (
            str(each.id), point_words(each.clock_mhz, each.voltage_mv, offset=of.offset), isolated(each.load),
            ended_words(each),
            "; ".join((*turn_words(turns.get(each.id, ())), *filter(None, (note_words(each.note),)))),
        )
        for each in every
    ]  # fmt: skip
    table(("no.", "set", "load", "how it ended", "note"), rows)


COMMANDS = (trials,)
