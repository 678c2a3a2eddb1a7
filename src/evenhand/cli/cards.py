"""cards, shots: the whole set of a study's cards for a medium, and which of them a script shows when."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, progress, say, say_json

FOLDER = click.Path(file_okay=False, path_type=Path)
NEEDS_YOU = 1  # the exit code where a cue asks for a card that there is not
MEDIUM = click.Choice(["wide", "tall", "square"])


@click.command("cards")
@click.argument("study")
@click.argument("folder", type=FOLDER)
@click.option("--medium", type=MEDIUM, default="wide", help="1920×1080, 1080×1920 or 1080×1080.")
@click.option("--dark", is_flag=True, help="Dark ground.")
@click.option("--pair", "pairs", nargs=2, multiple=True, metavar="A B",
              help="Cards of these two setups, and of no others; repeatable.")  # fmt: skip
@click.option("--edition", type=int, default=None, help="As they went out with this edition, not today's.")
@as_json
@click.pass_obj
def cards(
    workbench: Path | None, /, study: str, folder: Path, *, as_json: bool, edition: int | None, **how: Any
) -> None:
    """Draw the whole set of a STUDY's cards into FOLDER as SVG and PNG, verdicts first, the method last.

    Example: evenhand cards saltmarsh cards --medium tall --pair plover-mild dunlin-mild
    """
    if edition is None:
        draw_today(workbench, study, folder, as_json=as_json, **how)
    elif how["dark"]:
        raise click.UsageError("editions keep their cards on light ground; leave out --dark or --edition.")
    elif how["pairs"]:
        raise click.UsageError("an edition has the cards that went out; leave out --pair or --edition.")
    else:
        take_from_edition(workbench, study, folder, edition, medium=how["medium"], as_json=as_json)


def draw_today(workbench: Path | None, study: str, folder: Path, *, as_json: bool, **how: Any) -> None:
    """The cards as the record has them today: for which medium, light or dark, and of which pairs."""
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.comparison.charting import save_pictures
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.card_answers import cards_answer, set_asked

    with open_desk(workbench, create=False) as wb, progress("drawing", quiet=as_json) as watch:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        asked = set_asked(wb, study, **how)
        files = save_pictures(asked.drawn, folder, watch=watch)
    answer = cards_answer(asked, [str(file) for file in files])
    if as_json:
        say_json(answer)
        return
    for told in answer["drawn_plainly"]:
        click.echo(told, err=True)
    for file in files:
        say(str(file))
    if asked.pairs_left:
        said, left = "; ".join(" and ".join(pair) for pair in answer["pairs"]), asked.pairs_left
        further = f"{left} further pair{'' if left == 1 else 's'} can be had with --pair"
        say(f"Headline, break-even, flips and what was measured beside are of {said}; {further}.")


def take_from_edition(
    workbench: Path | None, study: str, folder: Path, edition: int, *, medium: str, as_json: bool
) -> None:
    """The cards as they went out."""
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.card_answers import edition_cards_answer, edition_set

    with open_desk(workbench, create=False) as wb, progress("drawing", quiet=as_json) as watch:
        written = edition_set(wb, study, edition, folder, medium=medium, watch=watch)
    if as_json:
        say_json(edition_cards_answer(written))
        return
    for file in written.files:
        say(str(file))


@click.command("shots")
@click.argument("study")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--medium", type=MEDIUM, default="wide", help="For which set of cards.")
@click.option("--pair", "pairs", nargs=2, multiple=True, metavar="A B",
              help="Cards of these two setups, beside those that the script names; repeatable.")  # fmt: skip
@as_json
@click.pass_context
def shots(context: click.Context, /, study: str, file: Path, *, as_json: bool, **how: Any) -> None:
    """Say which card of a STUDY is shown when in a script, a Markdown FILE with lines [card: headline].

    Example: evenhand shots saltmarsh narration.md
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.scripts import read_script
    from evenhand.desk.publication.shots import shots_of

    written = read_script(file)
    with open_desk(context.obj, create=False) as wb, progress("drawing", quiet=True):
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        found = shots_of(wb, study, written, **how)
    if as_json:
        say_json(found.answer)
    else:
        say(found.text.rstrip("\n"))
    if found.missing:
        context.exit(NEEDS_YOU)
