"""`demo` opens its example in the browser unless told not to; `open` watches a folder where one is named."""

from __future__ import annotations

import gc
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from evenhand.cli import demonstrating, opening
from evenhand.cli.main import run
from evenhand.desk import demonstrating as desk_demonstrating
from evenhand.desk.bench.watching import watched_now
from evenhand.desk.opening import Desk, open_desk
from evenhand.web import serving
from evenhand.web.served import Site


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Path, opening.Way]]:
    """What was opened, and how, instead of serving it."""
    found: list[tuple[Path, opening.Way]] = []

    def serve(wb: Desk, way: opening.Way) -> None:
        found.append((wb.path, way))

    monkeypatch.setattr(opening, "serve_until_stopped", serve)
    return found


@pytest.fixture
def example(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An example that is made at once."""
    place = tmp_path / "saltmarsh.evenhand"

    def demonstrate(folder: Path, **_: Any) -> SimpleNamespace:
        open_desk(place).close()
        return SimpleNamespace(workbench=place, discoveries=(), money=(), tuning=(), gained=())

    monkeypatch.setattr(desk_demonstrating, "demonstrate", demonstrate)
    monkeypatch.setattr(demonstrating, "tell_demo", lambda shown: None)
    monkeypatch.setattr(demonstrating, "demo_answer", lambda shown: {})
    return place


def test_the_example_is_opened_in_the_browser(example: Path, opened: list[tuple[Path, opening.Way]]) -> None:
    assert run(["demo", str(example.parent)]) == 0
    assert opened == [(example, opening.Way(browser=True))]


def test_without_a_browser_its_address_is_printed_only(
    example: Path, opened: list[tuple[Path, opening.Way]]
) -> None:
    assert run(["demo", str(example.parent), "--no-browser"]) == 0
    assert opened == [(example, opening.Way(browser=False))]


@pytest.mark.parametrize("option", ["--no-serve", "--json"])
def test_it_ends_by_itself_where_that_is_asked_for(
    example: Path, opened: list[tuple[Path, opening.Way]], option: str
) -> None:
    assert run(["demo", str(example.parent), option]) == 0
    assert opened == []


def test_a_folder_that_is_named_is_watched_and_stays_so(
    tmp_path: Path, opened: list[tuple[Path, opening.Way]], capsys: pytest.CaptureFixture[str]
) -> None:
    place, logs = tmp_path / "bench.evenhand", tmp_path / "logs"
    logs.mkdir()
    for _ in range(2):
        assert run(["--workbench", str(place), "open", "--no-browser", "--watch", str(logs)]) == 0
    assert f"New logs in {logs} come in by themselves." in capsys.readouterr().out
    with open_desk(place) as wb:
        assert [(each.study, each.folder) for each in watched_now(wb)] == [(None, str(logs))]


def test_a_folder_that_is_not_there_is_told_and_nothing_opened(
    tmp_path: Path, opened: list[tuple[Path, opening.Way]], capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["--workbench", str(tmp_path / "b.evenhand"), "open", "--watch", str(tmp_path / "none")]
    assert run(arguments) == 2
    assert "there is no such folder" in capsys.readouterr().err
    assert opened == []


def answered_at_once(site: Site, opened: serving.Opened, *, ready: Callable[[str], None]) -> None:
    """Tells that it answers, and ends."""
    opened.listener.close()
    ready(opened.url)


def test_where_it_answers_is_told_to_scripts_as_json(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(serving, "serve", answered_at_once)
    arguments = ["--workbench", str(tmp_path / "b.evenhand"), "open", "--no-browser", "--json", "--https"]
    assert run(arguments) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["url"].startswith("https://127.0.0.1:")
    assert (answer["network"], len(answer["certificate"])) == ([], 64)


def test_where_it_answers_is_told_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(serving, "serve", answered_at_once)
    assert run(["--workbench", str(tmp_path / "b.evenhand"), "open", "--no-browser"]) == 0
    told = capsys.readouterr().out
    assert "Evenhand is open at http://127.0.0.1:" in told
    assert "local network" not in told


def test_what_is_loaded_to_be_served_is_not_looked_through_for_garbage() -> None:
    before = gc.get_freeze_count()
    try:
        with opening.made_to_stay():
            assert not gc.isenabled()
            kept = [[number] for number in range(50)]
        assert gc.isenabled()
        assert gc.get_freeze_count() >= before + len(kept)
    finally:
        gc.unfreeze()


def test_looking_for_garbage_goes_on_where_loading_fails() -> None:
    with pytest.raises(ImportError), opening.made_to_stay():
        raise ImportError("no such module")
    gc.unfreeze()
    assert gc.isenabled()
