"""The small study with terms or scores changed once its runs were on record, and what compare tells of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.desk.small_folder import LATER, Folder

from evenhand.desk.comparison.comparing import compare
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.study.terms import ChangedTerm
from evenhand.store.workbench import Workbench


def changed(
    wb: Workbench, folder: Folder, tmp_path: Path, *changes: tuple[dict[str, Any], dict[str, Any]]
) -> Any:
    """The terms that compare tells of once these tables of the study file were given these values."""
    for table, values in changes:
        table.update(values)
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    return compare(wb, "quay", now=LATER).changed_terms


def rewritten(
    wb: Workbench, folder: Folder, tmp_path: Path, scores: dict[str, Any]
) -> tuple[ChangedTerm, ...]:
    """What compare tells once these runs were given other scores."""
    for label, score in scores.items():
        folder.run(label)["score"] = score
    return changed(wb, folder, tmp_path)
