"""put-away, bring-back: a study that nobody works on any more, closed and kept, and opened again."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk
    from evenhand.records.away import StudyAway

BY = "this computer"


@click.command("put-away")
@click.argument("study")
@click.option("--note", default="", help="Why, in your own words; kept with it.")
@as_json
@click.pass_obj
def put_away(workbench: Path | None, study: str, note: str, as_json: bool) -> None:
    """Put a STUDY away that is done with, or was made by mistake. Nothing of it is deleted.

    It can be read and exported, and nothing of it changes until it is brought back.

    Example: evenhand put-away saltmarsh --note "made twice"
    """
    from evenhand.desk.listing import away_answer
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.pages.away_note import plan_rests
    from evenhand.desk.study.away import put_study_away

    with open_desk(workbench, create=False) as wb:
        now = present()
        away = put_study_away(wb, study, note=note, by=BY, now=now)
        rests = plan_rests(load_study(wb, study))
    if as_json:
        say_json({"study": study, "away": away_answer(away), "was_away": away.at != now})
        return
    say(f"{study} is put away." if away.at == now else f"{study} was put away already; that stands.")
    if rests:
        say(rests)
    say(f"Next, if it is wanted again: evenhand bring-back {study}")


@click.command("bring-back")
@click.argument("study")
@as_json
@click.pass_obj
def bring_back(workbench: Path | None, study: str, as_json: bool) -> int:
    """Bring a STUDY back that was put away, as it was. Files that came in for it meanwhile land now.

    Example: evenhand bring-back saltmarsh
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study.away import bring_study_back
    from evenhand.desk.study.away_waiting import land_waiting

    with open_desk(workbench, create=False) as wb, progress("landing", quiet=as_json) as watch:
        now = present()
        was_away = bring_study_back(wb, study, by=BY, now=now)
        landed, waiting = land_waiting(wb, study, by=BY, now=now, watch=watch)
    if as_json:
        say_json({"study": study, "was_away": was_away, "landed": landed, "waiting": waiting})
        return 1 if waiting else 0
    say(f"{study} is back." if was_away else f"{study} was not put away; nothing was changed.")
    if landed:
        say(f"Of the files that waited for it, {landed} landed.")
    if waiting:
        say(f"{waiting} of them wait in the inbox still; it says why: evenhand open")
    return 1 if waiting else 0


def tell_away(wb: Desk, study: str, *, as_json: bool) -> None:
    """Says that a study is put away, beside the answer where that is for a script."""
    from evenhand.desk.study.away import AWAY_SINCE, away_now, since_words

    away = away_now(wb).get(study)
    if away is not None:
        words = f"{study} {AWAY_SINCE} {since_words(away)}. Bring it back: evenhand bring-back {study}"
        click.echo(words, err=as_json)


def tell_times_away(told: Iterable[StudyAway]) -> None:
    """Each time that a study was put away or brought back, by this computer's clock."""
    from evenhand.desk.opening import own_clock
    from evenhand.desk.study.moments import offset_words

    for each in told:
        at, note = own_clock(each.at), f": {each.note}" if each.note else ""
        done = "put away" if each.away else "brought back"
        say(f"{at:%Y-%m-%d %H:%M} {offset_words(at)} {done} by {each.by}{note}")


COMMANDS = (put_away, bring_back)
