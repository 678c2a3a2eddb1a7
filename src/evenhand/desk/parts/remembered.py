"""What a table's columns were said to be, remembered by its header: the next one like it needs no question.

What is true of one table alone (the day and the part of all its rows, an amount that is right) is not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.desk.parts.offer_roles import NAMES, columns_proposed
from evenhand.desk.parts.offer_sheets import Said
from evenhand.desk.parts.part_roles import columns_seem, kind_seems, roles
from evenhand.desk.parts.part_sheets import SaidOfParts
from evenhand.folders.sheets import Sheet
from evenhand.records.prices import Currency
from evenhand.store.table_roles import roles_said, save_roles
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint

OFFERS, PARTS = "offers", "parts"


@dataclass(frozen=True, slots=True, kw_only=True)
class OffersAtFirst:
    """What is said of a table of offers before anybody looked; `at` is when it was said, None if proposed."""

    said: Said
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsAtFirst:
    """The same of a table of parts."""

    said: SaidOfParts
    at: datetime | None = None


def offers_at_first(wb: Workbench, sheet: Sheet, currency: Currency | None) -> OffersAtFirst:
    """What was said of a table with this header, else what its columns seem to be."""
    known = roles_said(wb, OFFERS, fingerprint(sheet.header)) if sheet.named else None
    if known is None:
        found = columns_proposed(wb, sheet, currency)
        return OffersAtFirst(said=Said(columns={at: each.role for at, each in enumerate(found)}))
    about = {name: str(text) for name, text in known.said.items() if name != "columns"}
    said = Said(
        columns=_columns(known.said, NAMES),
        currency=about.get("currency", ""),
        decimals=about.get("decimals", ""),
        seller=about.get("seller", ""),
        order=about.get("order", ""),
    )
    return OffersAtFirst(said=said, at=known.at)


def parts_at_first(wb: Workbench, sheet: Sheet, kind: str) -> PartsAtFirst:
    """The same; of another `kind` than the one that was said, what its columns seem to be."""
    known = roles_said(wb, PARTS, fingerprint(sheet.header)) if sheet.named else None
    if known is None or (kind and kind != known.said.get("kind")):
        kind = kind or kind_seems(sheet)
        columns = {at: each.role for at, each in enumerate(columns_seem(sheet, kind))}
        return PartsAtFirst(said=SaidOfParts(columns=columns, kind=kind))
    kind = str(known.said.get("kind", ""))
    columns = _columns(known.said, {role.key: role.name for role in roles(kind)})
    said = SaidOfParts(columns=columns, kind=kind, source=str(known.said.get("source", "")))
    return PartsAtFirst(said=said, at=known.at)


def _columns(said: Mapping[str, Any], known: Mapping[str, str]) -> dict[int, str]:
    """The roles by column; one that there is none of any more is left out."""
    return {at: role if role in known else "" for at, role in enumerate(said.get("columns", ()))}


def remember_offers(wb: Workbench, sheet: Sheet, said: Said, *, now: datetime) -> None:
    """What was said of a table that was kept; of one without a header nothing."""
    about = {"currency": said.currency, "decimals": said.decimals, "seller": said.seller, "order": said.order}
    _remember(wb, OFFERS, sheet, said.columns, about, now=now)


def remember_parts(wb: Workbench, sheet: Sheet, said: SaidOfParts, *, now: datetime) -> None:
    """The same of a table of parts."""
    _remember(wb, PARTS, sheet, said.columns, {"kind": said.kind, "source": said.source}, now=now)


def _remember(
    wb: Workbench,
    of: str,
    sheet: Sheet,
    columns: Mapping[int, str],
    about: Mapping[str, str],
    *,
    now: datetime,
) -> None:
    if sheet.named:
        in_order = [columns.get(at, "") for at in range(len(sheet.header))]
        save_roles(wb, of, fingerprint(sheet.header), {"columns": in_order, **about}, at=now)
