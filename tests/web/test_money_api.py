"""Money for programs over HTTP: the very answers of the commands, and refusals that say what to do."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.desk.money.small_market import STUDY, lay_market
from tests.web.conftest import NOW, client_of

from evenhand.cli.main import run
from evenhand.desk.money.answers import money_of_study
from evenhand.desk.money.basis import Tried
from evenhand.desk.opening import Desk

API = f"/api/studies/{STUDY}/money"
DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture
def site(quay: Desk) -> Iterator[TestClient]:
    lay_market(quay)
    with client_of(quay) as opened:
        yield opened


def by_command(site: TestClient, capsys: pytest.CaptureFixture[str], *asked: str) -> dict[str, Any]:
    """What the command answers about the same workbench."""
    import json

    place = str(site.app.state.site.wb.path)  # type: ignore[attr-defined]
    assert run(["--workbench", place, *asked, "--json"]) == 0
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    told.pop("files", None)
    return told


@pytest.mark.parametrize(
    ("query", "asked"),
    [
        ("/better?build=wren&budget=1000", ("better", STUDY, "--build", "wren", "--budget", "1000")),
        (
            "/better?budget=980&rules=true&reach=true",
            ("better", STUDY, "--budget", "980", "--rules", "--reach"),
        ),
        ("/paths?audience=club", ("paths", STUDY, "--audience", "club")),
    ],
)
def test_it_is_the_answer_of_the_command(
    site: TestClient, capsys: pytest.CaptureFixture[str], query: str, asked: tuple[str, ...]
) -> None:
    answer = site.get(f"{API}{query}")
    assert answer.status_code == 200
    assert answer.json() == by_command(site, capsys, *asked)


def test_value_and_owning_are_those_of_the_command_and_days_end_with_the_sites_own_today(
    site: TestClient, capsys: pytest.CaptureFixture[str]
) -> None:
    query = f"{API}?audience=club&hours=900..1500&tariff=0.28..0.36&years=5"
    asked = ("--audience", "club", "--hours", "900..1500", "--tariff", "0.28..0.36", "--years", "5")
    answer, told = site.get(query).json(), by_command(site, capsys, "money", STUDY, *asked)
    assert answer.keys() == told.keys()
    dated = {"days"}
    assert {k: v for k, v in answer.items() if k not in dated} == {
        k: v for k, v in told.items() if k not in dated
    }
    assert [each["until"] for each in answer["days"]] == [NOW.date().isoformat()]
    assert answer["owning"]["years"] == 5.0


def test_each_cell_of_a_grid_is_how_the_two_stand_at_its_prices(site: TestClient, quay: Desk) -> None:
    found = site.get(f"{API}/grid?pair=wren~plover").json()
    assert (found["a"], found["b"]) == ("wren", "plover")
    assert (found["a_prices"][len(found["a_prices"]) // 2], found["b_prices"][4]) == (795, 995)
    for b_minor, row in zip(found["b_prices"], found["stands"], strict=True):
        for a_minor, stands in zip(found["a_prices"], row, strict=True):
            tried = Tried(prices={"wren": a_minor, "plover": b_minor})
            ground = money_of_study(quay, STUDY, audience="club", tried=tried)
            assert ground.stand("wren", "plover").value == stands
    assert len({each for row in found["stands"] for each in row}) > 1


@pytest.mark.parametrize(
    ("query", "status", "said"),
    [
        ("?audience=nobody", 404, "no audience is called 'nobody'"),
        ("?hours=1500..900", 422, "'1500..900' cannot be tried on"),
        ("?tariff=dear", 422, "'dear' cannot be tried on"),
        ("?years=0", 422, "give a number from 0.1 to 20"),
        ("?years=2..3", 422, "'2..3' cannot be tried on"),
        ("?hours=nan", 422, "'nan' cannot be tried on"),
        ("/grid?pair=wren", 404, "no pair with prices is called 'wren'"),
        ("/better?budget=lots", 422, "'lots' is no amount"),
        ("/better?build=nobody", 404, "no compared build with parts is called 'nobody'"),
        ("/paths?audience=nobody", 404, "no audience is called 'nobody'"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(
    site: TestClient, query: str, status: int, said: str
) -> None:
    answer = site.get(f"{API}{query}")
    assert answer.status_code == status
    assert said in " ".join(str(each) for each in answer.json()["error"].values())


def test_every_way_is_in_the_page_about_them(site: TestClient) -> None:
    page = (DOCS / "formats-http-money.md").read_text(encoding="utf-8")
    ways = [path for path in site.get("/api/openapi.json").json()["paths"] if "/money" in path]
    assert len(ways) == 4
    assert all(f"`GET {way}`" in page for way in ways)
    found = site.get(f"{API}/grid").json()
    table = page[page.index("## A grid of prices") :]
    assert set(re.findall(r"^\| `(\w+)` \|", table, re.MULTILINE)) == found.keys()
