"""gain: whether tuning a setup was worth it, against stock of the same build."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.tuning.gained_said import WorthSaid


@click.command("gain")
@click.argument("study")
@click.argument("setup")
@as_json
@click.pass_obj
def gain(workbench: Path | None, study: str, setup: str, as_json: bool) -> None:
    """Tell whether tuning a SETUP of a STUDY was worth it: what it gained over stock, and what that costs.

    Held against it is a setup of the same build that is called stock, or whose clocks are lower.

    Example: evenhand gain saltmarsh-stock plover-mild
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.tuning.gained_said import worth_answer, worth_said
    from evenhand.desk.tuning.of_study import setup_of_study

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        record = load_study(wb, study)
        said = worth_said(wb, record, setup_of_study(record, setup))
    if as_json:
        say_json(worth_answer(said, record, setup))
        return
    say(said.answer)
    for words in gain_lines(said):
        say(words)
    say(said.care)


def gain_lines(said: WorthSaid) -> Iterator[str]:
    """Every test with its share of the clock's rise, then clocks, doubts, costs, and what is lacking."""
    shares = list(said.shares.values()) or [""] * len(said.tests)
    for sentence, share in zip(said.tests, shares, strict=True):
        yield f"  {sentence} {share}".rstrip()
    yield from filter(None, (said.rise, f"Doubt: {said.doubt}" if said.doubt else ""))
    yield from (*said.costs, *said.lacking)


COMMANDS = (gain,)
