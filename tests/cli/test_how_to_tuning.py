"""The how-to of tuning on the example: each of its commands runs there, and says what the page quotes."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from tests.cli.conftest import Command, Said
from tests.conftest import NOW

from evenhand.demo.heat_logs import ROOM, heat_file
from evenhand.desk.demonstrating import bring_stock
from evenhand.desk.opening import open_desk

PAGE = (Path(__file__).parents[2] / "docs" / "how-to-tuning.md").read_text(encoding="utf-8")
STOP = "evenhand trials plover-mild processor --stop"


def commands() -> list[str]:
    """Every command of the page that names more than what it does, in the page's order."""
    joined = PAGE.replace("\\\n", " ")
    found = re.finditer(r"^ {4,}(evenhand [^\n]+)$|`(evenhand [^`]+)`", joined, flags=re.MULTILINE)
    told = (" ".join((each[1] or each[2]).split()) for each in found)
    return [each for each in told if len(each.split()) > 3 and "--workbench" not in each]


def plain(text: str) -> str:
    """Words without what only lays them out."""
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.fixture
def example(
    evenhand: Command, place: Path, decided_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Command:
    """The example's workbench, and beside it a log of one's own that has no room."""
    shutil.copy(decided_file, place)
    with open_desk(place) as wb:
        bring_stock(wb, tmp_path / "stock", now=NOW, watch=None)
    rows = [row.split(",") for row in heat_file(1).decode().splitlines()]
    without = rows[0].index(ROOM)
    lines = (",".join(cell for at, cell in enumerate(row) if at != without) for row in rows)
    (tmp_path / "heat.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return evenhand


def test_every_command_runs_and_prints_what_the_page_quotes(example: Command) -> None:
    asked = commands()
    assert len(asked) >= 15
    said: dict[str, Said] = {each: example(*shlex.split(each)[1:]) for each in asked}
    assert {each: found.err for each, found in said.items() if found.code and each != STOP} == {}
    assert "no trial runs there" in said[STOP].err, "none does in the example"
    told = plain(" ".join(found.out for found in said.values()))
    quotes = [plain(each) for each in re.findall("“([^“”]+)”", PAGE) if each != "…"]
    assert len(quotes) >= 6
    assert [each for each in quotes if each not in told] == []


def test_what_is_noted_there_is_on_record_in_the_example_already(example: Command) -> None:
    first = next(each for each in commands() if each.startswith("evenhand tuned plover-mild"))
    before = example("tuned", "plover-mild", "processor", "--json").json
    example(*shlex.split(first)[1:])
    assert example("tuned", "plover-mild", "processor", "--json").json == before
