"""The description of the workbench names every table, every column and every migration."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from evenhand.store.migrations import APPLICATION_ID, MIGRATIONS
from evenhand.store.schema import APPEND_ONLY
from evenhand.store.schema_away import AWAY_APPEND_ONLY
from evenhand.store.schema_heat import HEAT_APPEND_ONLY
from evenhand.store.schema_parts import PARTS_APPEND_ONLY
from evenhand.store.schema_photos import PHOTOS_APPEND_ONLY
from evenhand.store.schema_power import POWER_APPEND_ONLY
from evenhand.store.schema_publications import PUBLICATIONS_APPEND_ONLY
from evenhand.store.schema_reconsidered import RECONSIDERED_APPEND_ONLY
from evenhand.store.schema_trials import TRIALS_APPEND_ONLY
from evenhand.store.schema_worth import WORTH_APPEND_ONLY
from evenhand.store.workbench import open_workbench

TEXT = (Path(__file__).parents[2] / "docs" / "formats-workbench.md").read_text(encoding="utf-8")


def described() -> dict[str, set[str]]:
    """Table name → column names in code marks, from the rows of the tables."""
    rows = re.findall(r"^\| `(\w+)` \| [^|]+ \| (.+) \|$", TEXT, flags=re.MULTILINE)
    return {table: set(re.findall(r"`(\w+)`", columns)) for table, columns in rows}


def test_every_table_and_column_is_described_and_nothing_else(tmp_path: Path) -> None:
    with open_workbench(tmp_path / "bench.evenhand") as wb, wb.reading() as conn:
        tables = conn.execute(
            "SELECT name FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite_%'"
        )
        real = {
            table: {row["name"] for row in conn.execute(f"PRAGMA table_info({table})")}
            for table in [row["name"] for row in tables]
        }
    assert described() == real


def test_every_migration_is_described() -> None:
    for step in MIGRATIONS:
        assert f"| {step.number} | {step.name} |" in TEXT


def test_the_mark_is_the_one_described() -> None:
    assert f"0x{APPLICATION_ID:08x}" in TEXT


@pytest.mark.parametrize("verb", ["UPDATE", "DELETE"])
@pytest.mark.parametrize(
    "table",
    [
        *APPEND_ONLY,
        *WORTH_APPEND_ONLY,
        *PHOTOS_APPEND_ONLY,
        *AWAY_APPEND_ONLY,
        *PUBLICATIONS_APPEND_ONLY,
        *PARTS_APPEND_ONLY,
        *POWER_APPEND_ONLY,
        *TRIALS_APPEND_ONLY,
        *HEAT_APPEND_ONLY,
        *RECONSIDERED_APPEND_ONLY,
    ],
)
def test_what_is_called_append_only_has_its_guard(tmp_path: Path, table: str, verb: str) -> None:
    with open_workbench(tmp_path / "bench.evenhand") as wb, wb.reading() as conn:
        guards = [row[0] for row in conn.execute("SELECT sql FROM sqlite_schema WHERE type = 'trigger'")]
    assert any(f"BEFORE {verb} ON {table} " in guard for guard in guards)
