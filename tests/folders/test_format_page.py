"""The page about the format knows every key, and its examples can be read."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from evenhand.folders.fact_tables import FactsTable
from evenhand.folders.from_tables import ROLE_KEYS
from evenhand.folders.money_terms import MoneyTable
from evenhand.folders.photo_tables import PhotoTable
from evenhand.folders.reading import read_study
from evenhand.folders.study_file import (
    SINGLE,
    TABLES,
    ColumnTable,
    DecisionTable,
    GroundTable,
    RowTable,
    WindowTable,
)
from evenhand.folders.trial_tables import LimitInFile
from evenhand.folders.turn_tables import TurnTable
from evenhand.folders.worth_tables import AudienceTable, CurrencyTable
from evenhand.records.runs import Reason, RunState

PAGE = (Path(__file__).parents[2] / "docs" / "formats-study.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.DOTALL)
ALL_TABLES = {
    **TABLES,
    "columns": ColumnTable,
    "row": RowTable,
    "decisions": DecisionTable,
    "grounds": GroundTable,
    "window": WindowTable,
    "audiences": AudienceTable,
    "currency": CurrencyTable,
    "money": MoneyTable,
    "photos": PhotoTable,
    "facts": FactsTable,
    "limits": LimitInFile,
    "turns": TurnTable,
}
HEADINGS = {
    "study": "## `[study]`",
    "past": "## `[past]`",
    "decisions": "### `[[runs.decisions]]`",
    "grounds": "### `[[runs.decisions.grounds]]`",
    "columns": "Each column is a table",
    "row": "## `[[runs]]`",
    "window": "## `[[tests]]`",
    "audiences": "### `[[study.audiences]]`",
    "currency": "### `[study.currency]`",
    "money": "### `[study.money]`",
    "photos": "### `[[builds.photos]]`",
    "facts": "### `[[parts.facts]]`",
    "limits": "### `[[tuned.limits]]`",
    "turns": "### `[[trials.turns]]`",
}


def section(table: str) -> str:
    """The text from a table's heading to the next heading."""
    start = PAGE.index(HEADINGS.get(table, f"## `[[{table}]]`"))
    return re.split(r"\n#{2,3} ", PAGE[start + 3 :])[0]


def written(table: str) -> set[str]:
    """Every key of a table that an example of the page writes."""
    documents = [tomllib.loads(example) for example in EXAMPLES]
    runs = [run for d in documents for run in d.get("runs", [])]
    layouts = [layout for d in documents for layout in d.get("layouts", [])]
    decisions = [decision for run in runs for decision in run.get("decisions", [])]
    inner = {
        **{name: [d[name] for d in documents if name in d] for name in SINGLE},
        "row": [run["row"] for run in runs if "row" in run],
        "decisions": decisions,
        "window": [test["window"] for d in documents for test in d.get("tests", []) if "window" in test],
        "grounds": [ground for decision in decisions for ground in decision.get("grounds", [])],
        "audiences": [each for d in documents for each in d.get("study", {}).get("audiences", [])],
        "currency": [d["study"]["currency"] for d in documents if "currency" in d.get("study", {})],
        "money": [d["study"]["money"] for d in documents if "money" in d.get("study", {})],
        "photos": [each for d in documents for b in d.get("builds", []) for each in b.get("photos", [])],
        "facts": [each for d in documents for part in d.get("parts", []) for each in part.get("facts", [])],
        "limits": [each for d in documents for t in d.get("tuned", []) for each in t.get("limits", [])],
        "turns": [each for d in documents for t in d.get("trials", []) for each in t.get("turns", [])],
        "columns": [
            c for la in layouts for v in la["columns"].values() for c in (v if isinstance(v, list) else [v])
        ],
    }
    entries = inner.get(table) or [entry for d in documents for entry in d.get(table, [])]
    return {key for entry in entries for key in entry}


KEYS = [(name, key) for name, model in ALL_TABLES.items() for key in model.model_fields]


@pytest.mark.parametrize(("table", "key"), KEYS, ids=[f"{table}.{key}" for table, key in KEYS])
def test_every_key_is_explained_and_shown(table: str, key: str) -> None:
    explained = f"| `{key}` |" in section(table) or (table == "row" and f"`{key}`" in section(table))
    assert explained, f"docs/formats-study.md does not explain {table}.{key}"
    assert key in written(table), f"docs/formats-study.md has no example of {table}.{key}"


def test_batches_and_format_are_explained() -> None:
    assert "| `runs` |" in section("batches")
    assert "| `format` |" in PAGE
    assert re.search(r"^format = 1$", PAGE, re.MULTILINE)


@pytest.mark.parametrize("word", [*ROLE_KEYS, *Reason, *RunState])
def test_every_word_that_may_be_written_is_named(word: str) -> None:
    assert re.search(rf"[`\" ,]{re.escape(word)}[`\",. ]", PAGE), (
        f"docs/formats-study.md does not name {word}"
    )


def test_the_smallest_study_can_be_read() -> None:
    folder = read_study(EXAMPLES[0], where="docs/formats-study.md")
    assert len(folder.runs) == 4
    assert folder.study.setups == ("wren-stock", "plover-stock")


def test_the_examples_together_are_one_study() -> None:
    folder = read_study("\n".join(EXAMPLES[1:]), where="docs/formats-study.md")
    assert len(folder.runs) == 8
    assert folder.runs[4].decisions[0].reason is Reason.RATE_CAP
    assert folder.runs[7].stamps == {"driver": "31.6", "resolution": "1920 × 1080"}
