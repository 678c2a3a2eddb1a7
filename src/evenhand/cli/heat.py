"""heat: temperature logs of tuned parts, and what they tell of a room, a power, another cooler."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.finite import ROOM, Between, Finite
from evenhand.cli.mistakes import takes_back
from evenhand.cli.pairs import pair
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk
    from evenhand.desk.tuning.asking_heat import HeatTold
    from evenhand.desk.tuning.heat import HeatNow
    from evenhand.desk.tuning.heat_columns import HeatFile
    from evenhand.desk.tuning.heat_noting import NotedHeat
    from evenhand.records.heat import LoggedHeat
    from evenhand.tuning.heat_outlook import HeatAsked


MOST_C_PER_W = 20.0  # of a cooler, as over HTTP: what lets go less heat is none


@click.command("heat")
@click.argument("setup")
@click.argument("part", required=False, default="")
@click.option("--log", "file", type=click.Path(path_type=Path), default=None, metavar="FILE",
              help="Note this temperature log of the part; its bytes are kept as they are.")  # fmt: skip
@click.option("--run", default="", help="Note the sensor log of this run of the setup, by label or id.")
@click.option("--column", "columns", multiple=True, metavar="WHAT=HEADER",
              help="Which column of it is what: temperature, watts, room, fan or clock; may be repeated. "
                   "What is not said is guessed by what a column sits on.")  # fmt: skip
@click.option("--watts-at", type=click.Choice(["wall", "part"]), default=None,
              help="Where its watts were read: a meter at the wall, or the part's own sensor.")  # fmt: skip
@click.option("--log-room", type=ROOM, default=None, metavar="C",
              help="The air that the machine drew in during the log, where no column tells it.")  # fmt: skip
@click.option("--from", "from_s", type=Finite(), default=None, metavar="S",
              help="Only from this second of the log on.")  # fmt: skip
@click.option("--to", "to_s", type=Finite(), default=None, metavar="S",
              help="Only until this second of the log.")  # fmt: skip
@click.option("--clock", "clock_mhz", type=Finite(), default=None, metavar="MHZ",
              help="The clock that was set during the log.")  # fmt: skip
@click.option("--voltage", "voltage_mv", type=Finite(), default=None, metavar="MV",
              help="The voltage that was set, or the offset.")  # fmt: skip
@click.option("--set", "settings", multiple=True, metavar="NAME=VALUE",
              help="What else was set, as in power-limit=150; may be repeated.")  # fmt: skip
@click.option("--note", default="", help="Anything worth remembering of the log.")
@click.option("--of", "number", type=int, default=None, metavar="NUMBER",
              help="Tell of this log (default: the one that tells most, of several the last).")  # fmt: skip
@click.option("--room", type=ROOM, default=None, metavar="C",
              help="Tell of this room (default: the hottest that the part has to run in).")  # fmt: skip
@click.option("--watts", type=Finite(Between(least=0, most=5000, unit="W")), default=None, metavar="W",
              help="Tell of this power (default: the highest that the log held).")  # fmt: skip
@click.option("--cooler", default="", metavar="R±SD",
              help="Tell of another cooler with so many °C per watt, as in 0.15±0.02.")  # fmt: skip
@click.option("--study", default="", metavar="KEY",
              help="Work follows the clock as this study's tests measured (default: in step).")  # fmt: skip
@takes_back("log", why=True)
@click.option("--why", default="", help="Why it is taken back.")
@as_json
@click.pass_obj
def heat(workbench: Path | None, /, setup: str, part: str, as_json: bool, **given: Any) -> None:
    """Tell how warm a PART of a SETUP gets, by its temperature logs, and note or take back such a log.

    Nothing is said of what is left to a limit before the maker's limit of the temperature is noted with its
    source (evenhand tuned). Bands are those of what was fitted; a fan that changes its speed changes all.

    Example: evenhand heat plover-mild processor --room 30 --watts 160 --cooler 0.15±0.02
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.tuning import noting
    from evenhand.desk.tuning.asking_heat import told_heat
    from evenhand.desk.tuning.heat_answers import told_answer
    from evenhand.desk.tuning.heat_noting import take_back_heat

    with open_desk(workbench, create=False) as wb:
        if given["study"]:  # how tests follow the clock tells of states by their results
            refuse_hidden_study(wb, given["study"])
        part = part or noting.only_part(wb, setup)
        if given["take_back"] is not None:
            take_back_heat(wb, setup, part, given["take_back"], given["why"], now=present())
        noted = _noted(wb, setup, part, given)
        number = noted.heat.id if noted else given["number"]
        found = told_heat(wb, setup, part, number, _asked(given), study=given["study"])
    if as_json:
        say_json({**told_answer(found), "again": noted.again if noted else None})
        return
    if noted:
        said = "was on record already" if noted.again else "is on record"
        say(f"Temperature log {noted.heat.id} {said}.")
    tell_logs(found)
    if found.now is not None:
        tell_now(found, found.now)


def _asked(given: dict[str, Any]) -> HeatAsked:
    """What is asked of a room, a power, a cooler."""
    from evenhand.tuning.heat_outlook import HeatAsked

    cooler, off = None, 0.0
    if given["cooler"]:
        found = re.fullmatch(r"\s*([\d.]+)\s*(?:(?:±|\+-|\+/-)\s*([\d.]+))?\s*", given["cooler"])
        try:
            cooler, off = (float(found[1]), float(found[2] or 0)) if found else (None, 0.0)
        except ValueError:
            cooler = None
        if not cooler or max(cooler, off) > MOST_C_PER_W:
            said = f"'{given['cooler']}' is not R±SD, as in 0.15±0.02 or 0.15, up to {MOST_C_PER_W:g}."
            raise click.BadParameter(said, param_hint="--cooler")
    return HeatAsked(room_c=given["room"], watts=given["watts"], cooler_c_per_w=cooler, cooler_off=off)


def _noted(wb: Desk, setup: str, part: str, given: dict[str, Any]) -> NotedHeat | None:
    """The log that is brought with these options, on record; None without any."""
    from evenhand.desk.opening import present
    from evenhand.desk.tuning.heat_columns import guessed_columns
    from evenhand.desk.tuning.heat_noting import note_heat
    from evenhand.records.heat import HEAT_COLUMNS

    if given["file"] is None and not given["run"]:
        return None
    named = dict(pair(each, "--column") for each in given["columns"])
    if odd := [name for name in named if name not in HEAT_COLUMNS]:
        said = f"'{odd[0]}' is none of {', '.join(HEAT_COLUMNS)}."
        raise click.BadParameter(said, param_hint="--column")
    facts = {name: given[name] for name in ("watts_at", "from_s", "to_s", "clock_mhz", "voltage_mv", "note")}
    facts |= {
        "setup": setup, "part": part, "room_c": given["log_room"],
        "settings": dict(pair(each, "--set") for each in given["settings"]), **named,
    }  # fmt: skip
    with wb.writing():
        file, room = _file(wb, setup, given)
        if facts["room_c"] is None and not (named.get("room") or guessed_columns(file.layout, part)["room"]):
            facts["room_c"] = room
        return note_heat(wb, facts, file, now=present())


def _file(wb: Desk, setup: str, given: dict[str, Any]) -> tuple[HeatFile, float | None]:
    """The log that is named, kept, its columns confirmed before; and the room where a run has noted it."""
    from evenhand.desk.logs.column_questions import unconfirmed
    from evenhand.desk.tuning.heat_columns import look_at
    from evenhand.desk.tuning.heat_noting import keep_file, of_run

    if given["run"]:
        run = of_run(wb, setup, given["run"])
        return look_at(wb, run.log, layout=run.layout), run.room_c
    found = look_at(wb, keep_file(wb, given["file"]))
    if found.asked is not None:
        raise unconfirmed(found.asked)
    return found, None


def tell_logs(found: HeatTold) -> None:
    """Every log as a row."""
    from evenhand.desk.tuning.heat_rows import log_words
    from evenhand.publish.tuning.heat import HOW
    from evenhand.publish.tuning.words import note_words

    if not found.logs:
        say(f"No temperature log of this part is on record. {HOW}")
        return
    gone = {number: f"taken back: {note_words(why)}" for number, why in found.reasons.items()}
    rows = [
        (
            str(each.id), found.names[each.log], log_words(each, offset=found.tuned.offset),
            gone.get(each.id) or _of(found, each),
        )
        for each in found.logs
    ]  # fmt: skip
    table(("no.", "log", "set", "note"), rows)


def _of(found: HeatTold, log: LoggedHeat) -> str:
    """Its note, and why it was passed over."""
    from evenhand.publish.tuning.heat import trouble_words
    from evenhand.publish.tuning.words import note_words

    silent = found.silent.get(log.id)
    passed = f"passed over: {trouble_words(silent)}" if silent else ""
    return ". ".join(filter(None, (note_words(log.note), passed)))


def tell_now(told: HeatTold, now: HeatNow) -> None:
    """What one log tells."""
    from evenhand.desk.tuning.heat_clocks import allowed_said
    from evenhand.desk.tuning.heat_rows import beside_said, fan_rows, heat_doubt_said, stage_rows
    from evenhand.publish.tuning import heat as words
    from evenhand.publish.tuning.heat_logs import rest_words

    say()
    if now.trouble is not None:
        say(words.trouble_words(now.trouble))
    if now.fit is not None and told.found is not None:
        for said in (words.settles_words(told.found), *words.outlook_sentences(told.found)):
            say(said)
        for said in (*(allowed_said(told.allowed) if told.allowed else ()), *beside_said(now)):
            say(said)
        if now.rest is not None and not now.rest.differs:
            say(rest_words(now.rest))
        rows = stage_rows(now.fit, told.found.watts)
        table(("stage", "warms up in", "per watt", "in all at this power"), rows)
        if now.by_fan:
            table(("fan", "per watt"), fan_rows(now))
        say(f"{words.FIXED} {words.COMES_ON_TOP}")
    if now.fell is not None:
        say(now.fell_said)
    for doubt in now.doubts:
        say(f"Doubt: {heat_doubt_said(doubt, now)}")


COMMANDS = (heat,)
