"""The fields of what is assumed of money: out of the record into a form, and what was sent back again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData

from evenhand.desk.study.quoting import read_back
from evenhand.records.prices import Currency
from evenhand.web.forms import Reader, Reading

Values = dict[str, str | tuple[str, ...]]
SPANS: Mapping[str, tuple[str, str]] = {
    "resale": ("resale_from", "resale_to"),
    "lost": ("lost_from", "lost_to"),
}
AMOUNTS = ("repairs", "cash", "saved", "budget")
NOTHING = ("0", "0.0", "0,0", "0.00", "0,00")


def terms_values(assumed: Mapping[str, Any]) -> Values:
    """What stands in the fields, from the terms in per cent."""
    values: Values = {name: str(assumed.get(name) or "") for name in AMOUNTS}
    values |= {"years": f"{assumed['years']:.12g}", "horizon_months": str(assumed["horizon_months"])}
    for name, fields in SPANS.items():
        values |= {field: f"{end:.12g}" for field, end in zip(fields, assumed[name], strict=True)}
    return values


def read_terms(sent: FormData, currency: Currency | None) -> Reading:
    """What is assumed, in the keys of `desk.study.assuming`; amounts are echoed as they were read."""
    reader = Reader(sent)
    months = reader.number("horizon_months")
    if months is not None and months != int(months):
        reader.errors["horizon_months"] = "Months are whole; write 36, say."
    amounts = {name: _amount(reader, name, currency) for name in AMOUNTS}
    return reader.done(
        years=reader.number("years"),
        horizon_months=None if months is None else int(months),
        **{name: _both([reader.number(field) for field in fields]) for name, fields in SPANS.items()},
        **amounts,
    )


def _amount(reader: Reader, name: str, currency: Currency | None) -> str | None:
    """An amount as it was written; none, or nothing, is None."""
    written = reader.words(name)
    if written is None or written in NOTHING:
        return None
    if currency is not None and (read := read_back(written, currency)):
        reader.read[name] = f"Read as {read}."
    return written


def _both(ends: list[float | None]) -> list[float] | None:
    """A span of two fields: one left empty is the same as the other."""
    given = [end for end in ends if end is not None]
    return None if not given else [given[0], given[-1]]


def at_field(field: str) -> str:
    """The form's field at which a problem stands."""
    return SPANS[field][0] if field in SPANS else field
