"""A bundle is made of open standards, and the same files give the same archive."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from dataclasses import replace
from datetime import UTC, datetime

import pyarrow.parquet as pq
import pytest
from tests.editions.test_snapshot import SMALL

from evenhand.editions.bundle import About, citation, described, is_sealed, sums, zip_into
from evenhand.editions.snapshot import Snapshot
from evenhand.editions.tables import Column, DataTable, to_csv, to_parquet
from evenhand.records.publications import Imprint

AT = datetime(2031, 5, 4, 9, 30, 1, tzinfo=UTC)
ABOUT = About(number=2, at=AT, code_version="0.1", reason="a price")
TABLE = DataTable(
    name="t", description="d",
    columns=(
        Column(name="who", type="string", description=""), Column(name="x", type="number", description=""),
        Column(name="n", type="integer", description=""), Column(name="ok", type="boolean", description=""),
    ),
    rows=(("Plover, \"P\"", 0.1 + 0.2, 3, True), ("=cmd()", None, None, False)),
)  # fmt: skip


def small() -> Snapshot:
    told = {"findings": [], "index": []}
    return replace(
        SMALL, study={"key": "quay", "title": "Two at the quay"}, findings=told, verdicts={"audiences": []},
        claims={},
    )  # fmt: skip


def test_csv_keeps_every_digit_and_disarms_formulas() -> None:
    rows = list(csv.reader(io.StringIO(to_csv(TABLE).decode())))
    assert rows == [["who", "x", "n", "ok"], ['Plover, "P"', "0.30000000000000004", "3", "true"],
                    ["'=cmd()", "", "", "false"]]  # fmt: skip


def test_parquet_holds_the_same_rows_with_types_and_the_same_bytes_each_time() -> None:
    data = to_parquet(TABLE)
    assert data == to_parquet(TABLE)
    table = pq.read_table(io.BytesIO(data))
    assert [tuple(row.values()) for row in table.to_pylist()] == list(TABLE.rows)


def test_the_descriptor_names_every_table_with_its_columns_and_hash() -> None:
    files = described(small(), ABOUT)
    package = json.loads(files["datapackage.json"])
    assert package["version"] == "2"
    for resource in package["resources"]:
        header = files[resource["path"]].decode().splitlines()[0].split(",")
        assert [field["name"] for field in resource["schema"]["fields"]] == header
        assert all(field["description"] for field in resource["schema"]["fields"])
        assert resource["bytes"] == len(files[resource["path"]])


def test_who_publishes_under_which_licence_stands_in_citation_and_descriptor() -> None:
    about = About(number=1, at=AT, code_version="0.1", imprint=Imprint(name='A "B"', licence="CC-BY-4.0"))
    assert 'license: "CC-BY-4.0"' in citation(small(), about)
    assert r'name: "A \"B\""' in citation(small(), about)
    assert json.loads(described(small(), about)["datapackage.json"])["licenses"] == [{"name": "CC-BY-4.0"}]
    assert b"not stated by the publisher" in described(small(), ABOUT)["README.md"]


def archive(files: dict[str, bytes]) -> bytes:
    written = io.BytesIO()
    zip_into(written, files.items(), at=AT)
    return written.getvalue()


def test_the_same_files_give_the_same_archive() -> None:
    files = {"a.txt": b"one", "b/c.txt": b"two" * 99}
    assert archive(files) == archive(dict(files))
    with zipfile.ZipFile(io.BytesIO(archive(files))) as opened:
        assert {name: opened.read(name) for name in opened.namelist()} == files


@pytest.mark.parametrize("part", range(0, 100, 7))
def test_one_altered_byte_anywhere_breaks_the_seal(part: int) -> None:
    whole = bytearray(archive({"a.txt": b"one", "b.txt": b"two" * 99}))
    assert is_sealed(io.BytesIO(whole))
    whole[len(whole) * part // 100] ^= 1
    assert not is_sealed(io.BytesIO(whole))


def test_sums_are_what_the_usual_tool_reads() -> None:
    assert sums({"b": "ff", "a": "00"}) == b"00  a\nff  b\n"
