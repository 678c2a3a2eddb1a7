"""A command line that runs inside the test, and a workbench with the small study."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder

from evenhand.cli.main import run
from evenhand.desk import opening


@dataclass(frozen=True)
class Said:
    """What a command left: exit code, standard output, standard error."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Standard output as the one JSON document it must be."""
        return json.loads(self.out)


Command = Callable[..., Said]


AHEAD = max(NOW + timedelta(days=6) - datetime.now(UTC), timedelta())


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock some days past the prices of the small study: those of days to come count nowhere."""
    monkeypatch.setattr(opening, "present", lambda: datetime.now(UTC) + AHEAD)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workbench that `evenhand` takes without being told; nothing of the user's own is touched."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("EVENHAND_WORKBENCH", str(tmp_path / "bench.evenhand"))
    return tmp_path / "bench.evenhand"


@pytest.fixture
def evenhand(place: Path, capfd: pytest.CaptureFixture[str]) -> Command:
    """Runs one command line."""

    def command(*arguments: object) -> Said:
        capfd.readouterr()
        code = run([str(argument) for argument in arguments])
        return Said(code, *capfd.readouterr())

    return command


@pytest.fixture
def folder() -> Folder:
    return small_folder()


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench file with the small study, imported once for all tests that begin with it."""
    place = tmp_path_factory.mktemp("template")
    arguments = ["--workbench", place / "bench.evenhand", "import", small_folder().write(place / "study")]
    assert run([str(argument) for argument in arguments]) == 0
    return place / "bench.evenhand"


@pytest.fixture
def stocked(evenhand: Command, template: Path, place: Path) -> Command:
    """The same with the small study on the workbench."""
    shutil.copy(template, place)
    return evenhand


@pytest.fixture
def bare(folder: Folder) -> Folder:
    """The small study without a word on which column is what."""
    del folder.document["layouts"]
    return folder


@pytest.fixture
def doubtful(evenhand: Command, folder: Folder, tmp_path: Path) -> Command:
    """The small study with a copy among its runs, which is blocked."""
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    assert evenhand("import", folder.write(tmp_path / "study")).code == 1, "a run waits"
    return evenhand
