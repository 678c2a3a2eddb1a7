"""demo: the worked example, from raw logs to pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.demonstrating import Demonstration, Discovery
    from evenhand.desk.demonstrating_money import Found

FOLDER = click.Path(file_okay=False, path_type=Path)


@click.command("demo")
@click.argument("folder", type=FOLDER, default=Path("out/saltmarsh"))
@click.option("--no-browser", is_flag=True, help="Print the address only; open no browser.")
@click.option("--no-serve", is_flag=True, help="End after printing the findings; open nothing.")
@as_json
def demo(folder: Path, no_browser: bool, no_serve: bool, as_json: bool) -> int:
    """Show the whole job on the Saltmarsh example: three invented builds, nine tests, five planted faults.

    A second, small study of the same workbench tells what tuning one of them bought.

    Raw files, workbench and pictures go into FOLDER (default out/saltmarsh), anew each time; then that
    workbench is opened in the browser.

    Example: evenhand demo
    """
    from evenhand.desk.demonstrating import demonstrate
    from evenhand.desk.opening import present

    with progress("Saltmarsh", quiet=as_json) as watch:
        shown = demonstrate(folder, now=present(), watch=watch)
    if as_json:
        say_json(demo_answer(shown))
    else:
        tell_demo(shown)
    if not (no_serve or as_json):
        open_example(shown.workbench, browser=not no_browser)
    found = [one.found for one in shown.discoveries]
    found += [one.found for one in (*shown.money, *shown.tuning, *shown.gained)]
    return 0 if all(found) else 1


def open_example(workbench: Path, *, browser: bool) -> None:
    """The example's workbench in the browser, until somebody stops it."""
    from evenhand.cli.opening import Way, serve_until_stopped
    from evenhand.desk.opening import open_desk

    say()
    with open_desk(workbench) as wb:
        serve_until_stopped(wb, Way(browser=browser))


def demo_answer(shown: Demonstration) -> dict[str, object]:
    """``demo --json``."""
    from evenhand.desk.answers import run_answer
    from evenhand.desk.comparison.comparing import compared_answer

    return {
        "folder": str(shown.folder),
        "workbench": str(shown.workbench),
        "planted": [
            {
                "label": d.planted.label,
                "kind": d.planted.kind,
                "found": d.found,
                "run": run_answer(d.run),
                "picture": str(d.picture) if d.picture else None,
            }
            for d in shown.discoveries
        ],
        "held_besides": [run_answer(each) for each in shown.held_besides],
        "comparison": compared_answer(shown.compared),
        "money": [asdict(one) for one in shown.money],
        "tuning": [asdict(one) for one in shown.tuning],
        "gained": [asdict(one) for one in shown.gained],
        "pictures": [str(path) for path in shown.pictures],
    }


def tell_demo(shown: Demonstration) -> None:
    """The example as a reviewer would walk through it."""
    from evenhand.cli.comparing import tell_comparison

    report = shown.imported
    say("Saltmarsh: three builds for a video workshop, nine tests, raw logs in seven dialects.")
    say(f"{report.new} runs brought in from {shown.folder / 'study'}.")
    say()
    found = sum(one.found for one in shown.discoveries)
    say(f"Triage found {found} of {len(shown.discoveries)} planted faults:")
    for one in shown.discoveries:
        tell_discovery(one)
    for each in shown.held_besides:
        say(f"  Held though nothing was planted: {each.run.label}. {each.faults[0].evidence}")
        say("    Decided: kept; its number alone is no reason to leave it out.")
    say()
    tell_comparison(shown.compared)
    say()
    tell_found("Money", "in the prices", shown.money)
    tell_found("Tuning", "in the trials of Plover's processor and Dunlin's graphics card", shown.tuning)
    tell_found("Worth it", "in a second study, of Plover tuned and at stock,", shown.gained)
    say(f"{len(shown.pictures)} pictures in {shown.folder / 'pictures'}; the workbench is {shown.workbench}.")
    say(f"Look around: evenhand --workbench {shown.workbench} runs {report.study}")


def tell_found(of: str, where: str, things: Sequence[Found]) -> None:
    """What was planted somewhere, and what was found of it."""
    from evenhand.publish.numbers import capital

    found = sum(thing.found for thing in things)
    say(f"{of}: {found} of {len(things)} things planted {where} found:")
    for thing in things:
        say(f"  {'' if thing.found else 'NOT FOUND: '}{capital(thing.what)}. {thing.told}")
    say()


def tell_discovery(one: Discovery) -> None:
    """One planted fault and the evidence for it."""
    fault = next((f for f in one.run.faults if f.kind == one.planted.kind), None)
    if fault is None:
        say(f"  NOT FOUND: {one.planted.label}: {one.planted.story}")
        return
    say(f"  {one.run.run.label}: {fault.title}. {fault.evidence}")
    if one.picture is not None:
        say(f"    Drawn: {one.picture.name}")


COMMANDS = (demo,)
