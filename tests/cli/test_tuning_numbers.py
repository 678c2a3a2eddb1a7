"""Every number that the tuning commands take: what is none is refused, told where, and nothing is kept."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from tests.cli.conftest import Command
from tests.cli.test_heat import HEAT
from tests.cli.test_tuning import LIMIT, STOCK, TRIAL
from tests.desk.tuning.warm_log import LOG

from evenhand.cli import heat, trials, tuning, tuning_gain, tuning_watts

COMMANDS = {
    each.name or "": each
    for room in (heat, trials, tuning, tuning_gain, tuning_watts)
    for each in room.COMMANDS
}  # fmt: skip
BASE = {"tuned": STOCK, "trial": (*TRIAL, "--hours", "0.17"), "heat": ("heat", "wren")}
NONSENSE = ("nan", "inf", "-inf", "-1e9", "1e300")


def numbers() -> list[tuple[str, str]]:
    """Each command with each of its options that takes a number with decimals."""
    return [
        (name, param.opts[0])
        for name, command in COMMANDS.items()
        for param in command.params
        if isinstance(param, click.Option) and isinstance(param.type, type(click.FLOAT))
    ]


@pytest.fixture
def laid(stocked: Command, tmp_path: Path) -> Command:
    """A tuned part with its limits, and a log of it."""
    log = tmp_path / "warm.csv"
    log.write_bytes(LOG)
    stocked(*STOCK, *LIMIT)
    stocked(*STOCK[:3], *HEAT)
    stocked("columns", str(log), "--confirm")
    assert stocked("heat", "wren", "--log", str(log), "--column", "room=").code == 0
    return stocked


def test_the_commands_take_these_numbers() -> None:
    found = numbers()
    assert {name for name, _ in found} == {"tuned", "trial", "heat"}
    assert len(found) == 20


@pytest.mark.parametrize(("name", "option"), numbers())
def test_what_is_no_number_is_refused_and_nothing_kept(laid: Command, name: str, option: str) -> None:
    before = laid("tuned", "wren", "--json").out, laid("trials", "wren", "--json").out
    sent = [*BASE[name], *(("--watts-at", "part") if option == "--watts" and name == "trial" else ())]
    for nonsense in NONSENSE:
        said = laid(*sent, option, nonsense)
        if name == "heat" and option in LOGS and nonsense in ("-1e9", "1e300"):
            continue  # these say something of a log that is noted, and none is here
        assert said.code == 2, (nonsense, said.out)
        assert "Traceback" not in said.err
        assert said.err.strip()
    assert (laid("tuned", "wren", "--json").out, laid("trials", "wren", "--json").out) == before


LOGS = ("--from", "--to", "--clock", "--voltage")


@pytest.mark.parametrize("quantity", ["voltage", "clock", "temperature", "power"])
@pytest.mark.parametrize("most", ["nan", "inf", "-inf", "-5", "0", "1e300"])
def test_no_such_limit_is_kept(laid: Command, quantity: str, most: str) -> None:
    said = laid("tuned", "wren", "--limit", f"{quantity}={most}", "--source", "data sheet")
    assert said.code == 2
    assert len(laid("tuned", "wren", "--json").json["limits"]) == 2


@pytest.mark.parametrize("cooler", ["nan", "inf", "-1", "0", "9" * 400, "30", "0.1±nan", "0.1±" + "9" * 400])
def test_no_such_cooler_is_told_of(laid: Command, cooler: str) -> None:
    said = laid("heat", "wren", "--cooler", cooler, "--json")
    assert said.code == 2
    assert "is not R±SD" in said.err


@pytest.mark.parametrize("option", ["--room", "--watts"])
def test_heat_is_told_of_no_room_and_no_power_that_is_no_number(laid: Command, option: str) -> None:
    said = laid("heat", "wren", option, "nan")
    assert said.code == 2
    assert said.out == ""
    assert "'nan' is no finite number" in said.err
