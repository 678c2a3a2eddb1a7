"""tuned, trial, tuning: parts whose clocks and voltages are tried, and what may be said of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.finite import Finite
from evenhand.cli.mistakes import puts_back, takes_back
from evenhand.cli.pairs import pair
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.tuning.standing import TuningNow
    from evenhand.records.trials import Tuned

setup = click.argument("setup")
part = click.argument("part", required=False, default="")
why = click.option("--why", default="", help="Why something is taken back or put back.")


@click.command("tuned")
@setup
@part
@click.option("--clock", type=Finite(), default=None, metavar="MHZ", help="Its clock at stock under load.")
@click.option("--voltage", type=Finite(), default=None, metavar="MV",
              help="Its voltage at stock under load, as a whole.")  # fmt: skip
@click.option(
    "--clock-step", type=Finite(), default=None, metavar="MHZ", help="The step of clocks in firmware."
)
@click.option("--voltage-step", type=Finite(), default=None, metavar="MV",
              help="The step of voltages in firmware; 0 where the voltage is left alone.")  # fmt: skip
@click.option("--offset/--whole", "offset", default=None,
              help="Voltages are written as what is added to its own, or as a whole (default).")  # fmt: skip
@click.option("--hottest-room", type=Finite(), default=None, metavar="C",
              help="The warmest room that it has to run in.")  # fmt: skip
@click.option("--limit", "limits", multiple=True, metavar="QUANTITY=MOST",
              help="The most that its maker allows: voltage in mV, clock in MHz, temperature in °C, power "
                   "in W; may be repeated. Needs --source.")  # fmt: skip
@click.option("--source", default="",
              help="Where these limits are written: the maker's own data sheet or page. "
              "What a forum, a friend or a shop says is your own: begin with \"ourselves:\".")  # fmt: skip
@click.option("--read-on", default=None, metavar="DAY",
              help="When that was read, as 2031-05-04 (default: today).")  # fmt: skip
@takes_back("limit", why=True, named=True)
@puts_back("limit", why=True, named=True)
@why
@as_json
@click.pass_obj
def tuned(
    workbench: Path | None, /, setup: str, part: str, limits: tuple[str, ...], as_json: bool, **given: Any
) -> None:  # fmt: skip
    """Note what is known of a PART of a SETUP whose clock and voltage are tried, and its maker's limits.

    PART is its kind: processor, memory, graphics. Without options what is noted is told. Evenhand sets no
    clock and no voltage, and advises nothing past these limits.

    Example: evenhand tuned plover-mild processor --limit voltage=1325 --source "data sheet, page 14"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.tuning import noting
    from evenhand.desk.tuning.answers import tuned_answer

    now = present()
    told = {key: given[name] for name, key in TUNED_KEYS.items() if given[name] is not None}
    with open_desk(workbench, create=False) as wb, wb.writing():
        if told:
            noting.note_tuned(wb, {"setup": setup, "part": part, **told}, now=now)
        part = part or noting.only_part(wb, setup)
        for each in limits:
            limit = {**_limit(each), "source": given["source"], "read_on": given["read_on"]}
            noting.note_limit(wb, setup, part, limit, now=now, today=now.astimezone().date())
        if given["take_back_limit"] is not None:
            noting.take_back_limit(wb, setup, part, given["take_back_limit"], given["why"], now=now)
        if given["put_back_limit"] is not None:
            noting.put_back_limit(wb, setup, part, given["put_back_limit"], given["why"], now=now)
        found = noting.tuned_part(wb, setup, part)
    if as_json:
        say_json(tuned_answer(found))
        return
    tell_tuned(found)
    tell_unlimited(found)


TUNED_KEYS = {
    "clock": "stock_clock_mhz", "voltage": "stock_voltage_mv", "clock_step": "clock_step_mhz",
    "voltage_step": "voltage_step_mv", "offset": "offset", "hottest_room": "hottest_room_c",
}  # fmt: skip


def _limit(given: str) -> dict[str, Any]:
    quantity, _, most = given.partition("=")
    try:
        return {"quantity": quantity.strip(), "most": float(most)}
    except ValueError:
        said = f"'{given}' is not QUANTITY=MOST, as in voltage=1325."
        raise click.BadParameter(said, param_hint="--limit") from None


def tell_tuned(found: Tuned) -> None:
    """A tuned part with its limits."""
    from evenhand.publish.tuning.words import limit_words, tuned_words

    say(f"{found.setup}, {found.part}. {tuned_words(found)}")
    if found.limits:
        rows = [(str(each.id), each.quantity.value, limit_words(each)) for each in found.limits]
        table(("no.", "limit", "at most"), rows)


def tell_unlimited(found: Tuned) -> None:
    """Which limits a tuned part still lacks before a plan can go on, or stay where it is meant to."""
    from evenhand.desk.tuning.coming import maker_limit
    from evenhand.publish.tuning.doubts import WHY
    from evenhand.records.trials import Quantity
    from evenhand.tuning.doubts import Doubt

    if maker_limit(found) is None:
        say(WHY[Doubt.NO_CLOCK_LIMIT if found.clock_alone else Doubt.NO_LIMIT])
    elif found.limit(Quantity.CLOCK) is None:
        say(WHY[Doubt.CLOCK_UNLIMITED])


@click.command("trial")
@setup
@click.argument("part")
@click.option("--clock", type=Finite(), required=True, metavar="MHZ", help="The clock that was set.")
@click.option("--voltage", type=Finite(), default=None, metavar="MV",
              help="The voltage that was set, or the offset; left out where it is left alone.")  # fmt: skip
@click.option("--load", required=True, help="What ran, by any name.")
@click.option("--hours", type=Finite(), required=True, metavar="H",
              help="How long it is known to have held: to its end, or to the failure.")  # fmt: skip
@click.option("--outcome", default="passed", show_default=True,
              help="Or: wrong result, error, crash, reboot, throttled, stopped.")  # fmt: skip
@click.option("--planned", type=Finite(), default=None, metavar="H", help="For how long it was to run.")
@click.option("--found-after", type=Finite(), default=None, metavar="H",
              help="By when it had failed, where that was only found later.")  # fmt: skip
@click.option("--errors", type=int, default=0, help="Errors that the load counted and went on after.")
@click.option("--corrected", type=int, default=0, help="How many of these were corrected.")
@click.option("--set", "settings", multiple=True, metavar="NAME=VALUE",
              help="What else was set, as in load-line=4; may be repeated.")  # fmt: skip
@click.option("--room", type=Finite(), default=None, metavar="C", help="The air that the machine draws in.")
@click.option("--hottest", type=Finite(), default=None, metavar="C", help="The part's own highest reading.")
@click.option("--watts", type=Finite(), default=None, metavar="W", help="Their mean while the load ran.")
@click.option("--watts-at", type=click.Choice(["wall", "part"]), default=None,
              help="Where they were read: at the socket, or by the part's own sensor.")  # fmt: skip
@click.option("--at", default=None, help="When it began, as 2031-05-04T10:40:00+02:00.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--key", default="", help="A name of its own: with the same one it is the same trial.")
@as_json
@click.pass_obj
def trial(
    workbench: Path | None, /, setup: str, part: str, settings: tuple[str, ...], as_json: bool, **given: Any
) -> None:
    """Put on record how a trial of a PART of a SETUP ended that no rig has told.

    Example: evenhand trial plover-mild processor --clock 4700 --voltage 1215 --load integers --hours 8
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.tuning.answers import trial_answer
    from evenhand.desk.tuning.coming import next_said
    from evenhand.desk.tuning.noting import note_trial, tuned_part
    from evenhand.desk.tuning.series import one_series
    from evenhand.desk.tuning.standing import tuning_now

    sent = {TRIAL_KEYS.get(name, name): value for name, value in given.items()}
    sent |= {"setup": setup, "part": part, "settings": dict(pair(each, "--set") for each in settings)}
    with open_desk(workbench, create=False) as wb:
        noted = note_trial(wb, sent, now=present())
        of, kept = tuned_part(wb, setup, part), noted.trial
        series = one_series(wb, setup, part, load=kept.load, settings=kept.settings)
        coming = "" if as_json else next_said(tuning_now(series))
    if as_json:
        say_json({"trial": trial_answer(kept, of), "again": noted.again})
        return
    say(f"Trial {kept.id} {'was on record already' if noted.again else 'is on record'}.")
    say(coming)


TRIAL_KEYS = {
    "clock": "clock_mhz", "voltage": "voltage_mv", "planned": "planned_h", "found_after": "found_after_h",
    "room": "room_c", "hottest": "hottest_c",
}  # fmt: skip


@click.command("tuning")
@setup
@part
@click.option("--load", default="", help="Only trials under this load.")
@click.option("--points", is_flag=True, help="What the hours at every point claim.")
@as_json
@click.pass_obj
def tuning(workbench: Path | None, setup: str, part: str, load: str, points: bool, as_json: bool) -> None:
    """Tell what comes next for a PART of a SETUP, which voltages are advised and what may be claimed.

    Example: evenhand tuning plover-mild processor
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.tuning import noting
    from evenhand.desk.tuning.answers import tuning_answer
    from evenhand.desk.tuning.series import every_or_one
    from evenhand.desk.tuning.standing import tuning_now
    from evenhand.publish.tuning.advice import CAUTIONS

    with open_desk(workbench, create=False) as wb:
        part = part or noting.only_part(wb, setup)
        of = noting.tuned_part(wb, setup, part)
        standing = [tuning_now(series) for series in every_or_one(wb, setup, part, load)]
    if as_json:
        say_json(tuning_answer(of, standing))
        return
    tell_tuned(of)
    for now in standing:
        tell_now(now, points=points)
    say()
    for caution in CAUTIONS:
        say(caution)


def tell_now(now: TuningNow, *, points: bool) -> None:
    """One series: what comes next, advice, claims, doubts."""
    from evenhand.desk.tuning.coming import called_said, next_said, wanted_said
    from evenhand.desk.tuning.doubts_said import doubts_said
    from evenhand.publish.tuning.advice import ROW_HEADS, advice_row, caution_for, outlook_words
    from evenhand.publish.tuning.claims import claim_words
    from evenhand.publish.tuning.words import point_words, series_words

    offset, load = now.series.tuned.offset, now.series.load
    say()
    say(series_words(load, now.series.settings, len(now.series.trials)))
    say(f"Next: {next_said(now)}")
    if now.next is not None:
        say(f"  {caution_for(now.next.hours)}")
    if now.advice:
        table(
            ROW_HEADS,
            [advice_row(each, offset=offset) for each in now.advice],
        )
    for words in (*wanted_said(now), *called_said(now)):
        say(words)
    for each in now.outlooks:
        said = outlook_words(each.clock_mhz, each.voltage_mv, each.prospect, offset=offset)
        say(f"What an hour is worth: {said}")
    for at in now.points if points else ():
        say(f"{point_words(at.clock_mhz, at.voltage_mv, offset=offset)}: {claim_words(at.claim, load)}")
    for said in doubts_said(now):
        if said != next_said(now):
            say(f"Doubt: {said}")


COMMANDS = (tuned, trial, tuning)
