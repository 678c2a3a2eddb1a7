"""A table that anybody brings, on the command line: what its file holds, and which of its columns is what."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from evenhand.folders.sheets import Sheet


def content(file: Path) -> bytes:
    """What a file holds. Raises BadParameter where it cannot be read."""
    try:
        return file.read_bytes()
    except OSError as error:
        raise click.BadParameter(f"{file} cannot be read: {error.strerror}", param_hint="--file") from error


def columns_named(sheet: Sheet, said: Iterable[str], roles: Collection[str]) -> dict[int, str]:
    """Columns by their place with the one of the `roles` that each was given. Raises BadParameter."""
    from evenhand.errors import nearest

    found = {}
    for each in said:
        name, there, role = each.rpartition("=")
        if not there or name not in sheet.header:
            said_so = f"the table has no column '{name or each}'; {nearest(name or each, sheet.header)}"
            raise click.BadParameter(said_so, param_hint="--column")
        if role and role not in roles:
            said_so = f"no column can be '{role}'; {nearest(role, roles)}"
            raise click.BadParameter(said_so, param_hint="--column")
        found[sheet.header.index(name)] = role
    return found
