"""A study's tables in the shape of the study file, for programs: as they are, and as they may be put."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from evenhand.desk.study.shelving import as_table
from evenhand.desk.study.used_by import builds_of, setups_of, tests_of
from evenhand.errors import BadRecord
from evenhand.folders.offer_tables import OfferTable, RateTable
from evenhand.folders.study_file import BuildTable, PartTable, SetupTable, StudyTable, TestTable
from evenhand.folders.table import Table
from evenhand.folders.trial_tables import TrialTable
from evenhand.folders.worth_tables import PriceTable, SoundTable
from evenhand.records.builds import Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

TABLES: Mapping[str, type[Table]] = {
    "study": StudyTable,
    "parts": PartTable,
    "builds": BuildTable,
    "setups": SetupTable,
    "tests": TestTable,
    "prices": PriceTable,
    "sound": SoundTable,
    "offers": OfferTable,
    "rates": RateTable,
    "trials": TrialTable,
}


def table(given: object, key: str) -> Mapping[str, Any]:
    """What a program sent as a table; `key` is "" where it has none.

    Raises BadRecord where it is none, or is another's.
    """
    if not isinstance(given, Mapping):
        raise BadRecord("this is no table", where=key, todo="send a JSON object")
    if key and given.get("key", key) != key:
        raise BadRecord(
            f"the table calls itself {given['key']!r}", where="key", todo=f"leave it out: it is '{key}'"
        )
    return given


def study_tables(wb: Workbench, key: str) -> dict[str, Any]:
    """The study with everything that it names or that its runs are of. Raises NotFound."""
    study = shelves.one(wb, Study, key)
    builds = builds_of(wb, study)
    setups, tests = frozenset(setups_of(wb, study)), tests_of(wb, study)
    parts = frozenset(part for build in builds for part in build.parts)
    return {
        "study": as_table(study),
        "parts": [as_table(part) for part in shelves.every(wb, Part) if part.key in parts],
        "builds": [as_table(build) for build in builds],
        "setups": [as_table(setup) for setup in shelves.every(wb, Setup) if setup.key in setups],
        "tests": [as_table(test) for test in shelves.every(wb, Test) if test.key in tests],
    }


def schema_of(table: str) -> dict[str, Any]:
    """The JSON Schema of one table, its key left out: the address says it.

    What a new one needs is told in words: of one that is there, what is left out or null becomes the usual.
    """
    schema = TABLES[table].model_json_schema()
    whole: dict[str, Any] = _inlined(schema, schema.pop("$defs", {}))
    whole["properties"].pop("key", None)
    needed = [name for name in whole.pop("required", []) if name != "key"]
    if needed:
        whole["description"] = f"A new one needs: {', '.join(needed)}."
    whole["properties"] = {name: _or_null(each) for name, each in whole["properties"].items()}
    return whole


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    nothing = {"type": "null"}
    return schema if nothing in schema.get("anyOf", ()) else {"anyOf": [schema, nothing]}


def _inlined(schema: Any, parts: Mapping[str, Any]) -> Any:
    """A schema without references, which would lead astray inside another document."""
    if isinstance(schema, list):
        return [_inlined(each, parts) for each in schema]
    if not isinstance(schema, dict):
        return schema
    if "$ref" in schema:
        return _inlined(parts[schema["$ref"].rpartition("/")[2]], parts)
    return {name: _inlined(each, parts) for name, each in schema.items()}


def emptied(table: str, given: Mapping[str, Any]) -> dict[str, Any]:
    """A table as it was put: what it does not say is emptied, not left as it was."""
    fields = (name for name in TABLES[table].model_fields if name != "key")
    return {**dict.fromkeys(fields), **given}
