"""What the columns of tables were said to be, by their header: every state stays, the last one stands."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.store.rows import as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class RolesSaid:
    """What was last said of tables with a header, as plain values, and when."""

    said: Mapping[str, Any]
    at: datetime


def save_roles(wb: Workbench, of: str, fingerprint: str, said: Mapping[str, Any], *, at: datetime) -> None:
    """Puts on record what was said of a table `of` something; what stands is not saved again."""
    with wb.writing() as conn:
        stands = roles_said(wb, of, fingerprint)
        if stands is not None and as_text(dict(stands.said)) == as_text(dict(said)):
            return
        row = {"of": of, "fingerprint": fingerprint, "said": as_text(dict(said)), "at": at.isoformat()}
        seal(conn, "table_roles", insert(conn, "table_roles", row))


def roles_said(wb: Workbench, of: str, fingerprint: str) -> RolesSaid | None:
    """What was last said of tables with this header. Raises StoreProblem where it cannot be read."""
    with wb.reading() as conn:
        query = 'SELECT * FROM table_roles WHERE "of" = ? AND fingerprint = ? ORDER BY id DESC LIMIT 1'
        row = conn.execute(query, (of, fingerprint)).fetchone()
    if row is None:
        return None
    with legible(f"roles {row['id']} of a table"):
        return RolesSaid(said=dict(json.loads(row["said"])), at=datetime.fromisoformat(row["at"]))
