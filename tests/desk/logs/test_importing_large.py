"""Large logs are read in turn, so that memory holds one of them."""

from __future__ import annotations

from pathlib import Path
from threading import Lock
from time import sleep

import pytest
from tests.desk.small_folder import NOW, Folder

from evenhand.desk.logs import reading_ahead
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.readings import Reader, Reading
from evenhand.folders.study_folder import RunEntry
from evenhand.store.workbench import Workbench


def test_large_logs_are_read_one_after_the_other_and_others_beside_them(
    wb: Workbench, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside, most = [0, 0], [0, 0]
    lock, read = Lock(), Reader.read

    def watched(reader: Reader, entry: RunEntry) -> Reading:
        large = "causeway" in str(entry.log)
        with lock:
            inside[large] += 1
            most[large] = max(most[large], inside[large])
        try:
            sleep(0.01)
            return read(reader, entry)
        finally:
            with lock:
                inside[large] -= 1

    for name, data in folder.files.items():
        folder.files[name] = data if "tramlines" in name else data + b"\n" * 30_000
    monkeypatch.setattr(reading_ahead, "LARGE_BYTES", 30_000)
    monkeypatch.setattr(Reader, "read", watched)
    assert import_folder(wb, folder.write(tmp_path / "study"), now=NOW).new == 18
    assert most[True] == 1
    assert most[False] > 1
