"""backup, check: keep the workbench safe."""

from __future__ import annotations

from pathlib import Path

import click

from evenhand.cli.showing import as_json, progress, say, say_json

FILE = click.Path(dir_okay=False, path_type=Path)


@click.command("backup")
@click.argument("target", type=FILE)
@as_json
@click.pass_obj
def backup(workbench: Path | None, target: Path, as_json: bool) -> None:
    """Copy the workbench to TARGET while it may be in use.

    Example: evenhand backup /media/stick/workbench-2031-05-04.evenhand
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.upkeep import back_up

    with open_desk(workbench, create=False) as wb, progress("backing up", quiet=as_json) as watch:
        size = back_up(wb, target, watch=watch)
    if as_json:
        say_json({"target": str(target), "bytes": size})
        return
    say(f"{target}: {size / 1e6:.1f} MB, a whole workbench.")
    say(f"Look it over with: evenhand --workbench {target} check")


@click.command("check")
@as_json
@click.pass_obj
def check(workbench: Path | None, as_json: bool) -> int:
    """Look the workbench over: structure, originals against their hashes, all that was written against seals.

    Example: evenhand check
    """
    from evenhand.desk.upkeep import check_workbench

    with progress("checking", quiet=as_json) as watch:
        report = check_workbench(workbench, watch=watch)
    if as_json:
        say_json({
            "sound": report.sound, "version": report.version, "originals": report.originals,
            "traces": report.traces, "problems": list(report.problems),
        })  # fmt: skip
    else:
        say(f"{report.path}: {'sound' if report.sound else 'NOT SOUND'}")
        say(f"  {report.originals} originals and {report.traces} traces looked at, schema {report.version}")
        if report.behind:
            say("  An earlier schema: the next command brings it up, and seals everything as it stands.")
        for problem in report.problems:
            say(f"  {problem}")
        if not report.sound:
            say("What to do: put this file away and go on from the latest backup.")
    return 0 if report.sound else 1


COMMANDS = (backup, check)
