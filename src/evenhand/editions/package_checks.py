"""Whether the descriptor of a bundle (Data Package) says of its tables what they are."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from evenhand.editions.bundle import FORM, PACKAGE, TABLES

# What a cell of each type looks like (Frictionless Table Schema v1), where it is not empty.
_NUMBER = re.compile(r"-?(\d+(\.\d+)?([eE][+-]?\d+)?|inf|nan)")
FITS: Mapping[str, Callable[[str], object]] = {
    "string": lambda _: True,
    "number": _NUMBER.fullmatch,
    "integer": re.compile(r"-?\d+").fullmatch,
    "boolean": re.compile("true|false").fullmatch,
}


def package_troubles(files: Mapping[str, bytes]) -> Iterator[str]:
    """What the descriptor says otherwise than the tables beside it, as sentences; `files` by path."""
    try:
        told = json.loads(files[PACKAGE])
        form, resources = told["evenhand"]["form"], {str(each["path"]): each for each in told["resources"]}
    except KeyError as missing:
        yield f"{PACKAGE} is missing, or has no {missing}"
    except (ValueError, TypeError, RecursionError):
        yield f"{PACKAGE} is no descriptor of a data package"
    else:
        if form != FORM:
            yield f"{PACKAGE} tells form {form!r} where this bundle has form {FORM}"
        yield from _resources(resources, files)


def _resources(resources: Mapping[str, Any], files: Mapping[str, bytes]) -> Iterator[str]:
    tables = {path for path in files if path.startswith(TABLES) and path.endswith(".csv")}
    for path in sorted(tables - resources.keys()):
        yield f"{PACKAGE} says nothing of {path}"
    for path, resource in resources.items():
        if path not in tables:
            yield f"{PACKAGE} names {path}, which is not there"
        else:
            yield from (f"{PACKAGE}, of {path}: {each}" for each in _resource(resource, files[path]))


def _resource(resource: Mapping[str, Any], data: bytes) -> Iterator[str]:
    if resource.get("bytes") != len(data):
        yield f"tells {resource.get('bytes')!s:.40} bytes where it has {len(data)}"
    if resource.get("hash") != f"sha256:{hashlib.sha256(data).hexdigest()}":
        yield "tells another hash than it has"
    try:
        fields = [(str(each["name"]), str(each["type"])) for each in resource["schema"]["fields"]]
        header, *rows = csv.reader(io.StringIO(data.decode(), newline=""))
    except (KeyError, TypeError, ValueError, csv.Error):
        yield "the schema or the table cannot be read"
        return
    yield from _columns(fields, header, rows)


def _columns(
    fields: Sequence[tuple[str, str]], header: Sequence[str], rows: Sequence[Sequence[str]]
) -> Iterator[str]:
    """What a schema tells otherwise than the table: its columns, and the first cell of each that is none."""
    if [name for name, _ in fields] != list(header):
        yield f"tells the columns {', '.join(name for name, _ in fields)} where they are {', '.join(header)}"
        return
    ragged = next((i for i, row in enumerate(rows, start=2) if len(row) != len(fields)), None)
    if ragged is not None:
        yield f"has {len(fields)} columns and {len(rows[ragged - 2])} cells in row {ragged}"
        return
    columns = list(zip(*rows, strict=True)) or [()] * len(fields)
    for (name, kind), cells in zip(fields, columns, strict=True):
        fits = FITS.get(kind)
        if fits is None:
            yield f"column {name} is of the type {kind!r}, which no table here has"
            continue
        wrong = next((cell for cell in cells if cell and not fits(cell)), None)
        if wrong is not None:
            yield f"column {name} is told as {kind}, and holds '{wrong[:40]}'"
