"""Workbenches with the worked example and the small study, made once in a run and copied by every room."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.once import once

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)


@pytest.fixture(scope="session")
def bare_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench with nothing on it; never to be written to."""
    from evenhand.desk.opening import open_desk

    with open_desk(tmp_path_factory.mktemp("bare") / "bench.evenhand") as opened:
        return opened.path


@pytest.fixture(scope="session")
def saltmarsh_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The Saltmarsh study on a workbench, its faults not yet decided about; never to be written to."""
    from evenhand.desk.demonstrating import write_raw
    from evenhand.desk.logs.importing import import_folder
    from evenhand.desk.opening import open_desk

    def make(place: Path) -> None:
        write_raw(place / "study")
        with open_desk(place / "saltmarsh.evenhand") as wb:
            import_folder(wb, place / "study", now=NOW)

    return once(tmp_path_factory, "saltmarsh", make) / "saltmarsh.evenhand"


@pytest.fixture(scope="session")
def decided_file(saltmarsh_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with every decision made, as the example's reviewer makes them."""
    from evenhand.desk.demonstrating import decide_all, discover
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk

    def make(place: Path) -> None:
        shutil.copy(saltmarsh_file, place)
        with open_desk(place / "saltmarsh.evenhand") as wb:
            decide_all(wb, *discover(load_study(wb, "saltmarsh").runs), now=NOW)

    return once(tmp_path_factory, "decided", make) / "saltmarsh.evenhand"


@pytest.fixture(scope="session")
def told_file(decided_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with its first edition gone out; never to be written to."""
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.publishing import publish

    def make(place: Path) -> None:
        shutil.copy(decided_file, place)
        with open_desk(place / "saltmarsh.evenhand") as wb:
            publish(wb, "saltmarsh", now=NOW)

    return once(tmp_path_factory, "told", make) / "saltmarsh.evenhand"


@pytest.fixture(scope="session")
def quay_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench with the small study; never to be written to."""
    from tests.desk.small_folder import small_folder

    from evenhand.desk.logs.importing import import_folder
    from evenhand.desk.opening import open_desk

    def make(place: Path) -> None:
        with open_desk(place / "bench.evenhand") as wb:
            import_folder(wb, small_folder().write(place / "study"), now=NOW)

    return once(tmp_path_factory, "quay", make) / "bench.evenhand"


@pytest.fixture(scope="session")
def weighed_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small study with somebody to judge for and prices; never to be written to."""
    from tests.desk.small_folder import small_folder, weighed

    from evenhand.desk.logs.importing import import_folder
    from evenhand.desk.opening import open_desk

    def make(place: Path) -> None:
        with open_desk(place / "bench.evenhand") as wb:
            import_folder(wb, weighed(small_folder()).write(place / "study"), now=NOW)

    return once(tmp_path_factory, "weighed", make) / "bench.evenhand"


@pytest.fixture(scope="session")
def published_file(weighed_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with its first edition gone out; never to be written to."""
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.publishing import publish

    def make(place: Path) -> None:
        shutil.copy(weighed_file, place)
        with open_desk(place / "bench.evenhand") as wb:
            publish(wb, "quay", now=NOW)

    return once(tmp_path_factory, "published", make) / "bench.evenhand"
