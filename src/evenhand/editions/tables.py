"""The tables of a data bundle, by open standards: CSV and Parquet with the same rows."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from evenhand.editions.snapshot import Snapshot
from evenhand.editions.table_shapes import SHAPES, Shape
from evenhand.editions.tuned_shapes import TUNED_SHAPES
from evenhand.errors import BadRecord
from evenhand.publish.spreadsheets import neutral

Cell = str | float | int | bool | None
TYPES = {"string": pa.string(), "number": pa.float64(), "integer": pa.int64(), "boolean": pa.bool_()}
FITS: Mapping[str, Callable[[Any], bool]] = {
    "string": lambda value: isinstance(value, str | Mapping | Sequence),
    "number": lambda value: isinstance(value, int | float) and not isinstance(value, bool),
    "integer": lambda value: isinstance(value, int) and not isinstance(value, bool),
    "boolean": lambda value: isinstance(value, bool),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its name, type as Frictionless names them, and what it holds."""

    name: str
    type: str
    description: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DataTable:
    """One table of the bundle: its name, what a row is, its columns and rows."""

    name: str
    description: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def to_csv(table: DataTable) -> bytes:
    """The table as CSV (RFC 4180, UTF-8): a header, numbers with every digit, nothing for what is missing."""
    written = io.StringIO(newline="")
    writer = csv.writer(written)
    writer.writerow([column.name for column in table.columns])
    for row in table.rows:
        writer.writerow([_told(cell) for cell in row])
    return written.getvalue().encode()


def _told(cell: Cell) -> object:
    if isinstance(cell, bool):
        return "true" if cell else "false"
    return repr(cell) if isinstance(cell, float) else neutral(cell)


def to_parquet(table: DataTable) -> bytes:
    """The same table as Parquet, types and all; the same rows give the same bytes under one library."""
    fields = [pa.field(c.name, TYPES[c.type]) for c in table.columns]
    columns = [pa.array([row[i] for row in table.rows], type=field.type) for i, field in enumerate(fields)]
    written = io.BytesIO()
    pq.write_table(pa.table(columns, schema=pa.schema(fields)), written, compression="zstd")
    return written.getvalue()


def tables_of(snapshot: Snapshot) -> tuple[DataTable, ...]:
    """Every table of an edition; those of tuned parts only where it has any."""
    shapes = (*SHAPES, *TUNED_SHAPES) if snapshot.tuning else SHAPES
    return tuple(_table(shape, snapshot) for shape in shapes)


def _table(shape: Shape, snapshot: Snapshot) -> DataTable:
    columns = tuple(Column(name=n, type=t, description=d) for n, t, d in shape.columns)
    rows = tuple(
        tuple(_cell(row.get(c.name), c, shape.name) for c in columns) for row in shape.rows(snapshot)
    )
    return DataTable(name=shape.name, description=shape.description, columns=columns, rows=rows)


def _cell(value: Any, column: Column, table: str) -> Cell:
    """A value as its column holds it. Raises BadRecord where it is of another sort."""
    if value is None:
        return None
    if not FITS[column.type](value):
        raise BadRecord(f"'{value!s:.40}' is no {column.type}", where=f"table {table}, column {column.name}")
    if column.type == "number":
        return float(value)
    return value if isinstance(value, Cell) else json.dumps(value, ensure_ascii=False, sort_keys=True)
