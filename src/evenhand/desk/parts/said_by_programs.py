"""Offers, rates and facts of parts as programs send them, into the fields of a form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from evenhand.errors import BadRecord, nearest
from evenhand.folders.offer_tables import OfferTable, RateTable

SURE = "sure"


def offer_given(sent: Mapping[str, Any], *, today: date) -> dict[str, Any]:
    """An offer's fields, of today where no day is given. Raises BadRecord for a key that is none."""
    _refuse_unknown(sent, {*OfferTable.model_fields, SURE})
    symbol, decimals = _currency(sent.get("currency"), "currency")
    stock = sent.get("in_stock")
    return {
        **{key: _text(sent, key) for key in ("part", "item", "shipping", "tax", "coupon", "seller", "note")},
        "on": _text(sent, "on") or today.isoformat(),
        "currency": symbol,
        "decimals": decimals,
        "in_stock": True if stock is None else stock is True,
        SURE: sent.get(SURE) is True,
    }


def rate_given(sent: Mapping[str, Any], *, today: date) -> dict[str, Any]:
    """A rate's fields, of today where no day is given. Raises BadRecord for a key that is none."""
    _refuse_unknown(sent, {*RateTable.model_fields, SURE})
    of, of_decimals = _currency(sent.get("of"), "of")
    into, into_decimals = _currency(sent.get("into"), "into")
    return {
        "of": of, "of_decimals": of_decimals, "into": into, "into_decimals": into_decimals,
        "rate": _text(sent, "rate"), "on": _text(sent, "on") or today.isoformat(),
        "note": _text(sent, "note"), SURE: sent.get(SURE) is True,
    }  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class FactsGiven:
    """Facts by name as a person would write them, None for what is not known; their source, and the day."""

    facts: Mapping[str, str | None]
    source: str
    on: str
    sure: bool = False


def facts_given(sent: Mapping[str, Any]) -> FactsGiven:
    """Facts of a part as they were sent. Raises BadRecord for a key that is none, and without a source."""
    _refuse_unknown(sent, {"facts", "source", "on", SURE})
    facts, source = sent.get("facts"), _text(sent, "source").strip()
    if not isinstance(facts, dict) or not facts:
        todo = 'write them by name, as in {"height_mm": "158"}'
        raise BadRecord("no facts are given", where="facts", todo=todo)
    if not source:
        raise BadRecord("it is not said where they are from", where="source", todo="name the source")
    said = {key: _as_written(value, key) for key, value in facts.items()}
    return FactsGiven(facts=said, source=source, on=_text(sent, "on"), sure=sent.get(SURE) is True)


def _as_written(value: object, key: str) -> str | None:
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.12g}"
    raise BadRecord(f"{key} is no text", where=key, todo='write it as in a form, as in "Q5, Q6"')


def _refuse_unknown(sent: Mapping[str, Any], known: set[str]) -> None:
    for key in sent:
        if key not in known:
            raise BadRecord(
                f"unknown key '{str(key)[:40]}'", where=str(key)[:40], todo=nearest(str(key), known)
            )


def _text(sent: Mapping[str, Any], key: str) -> str:
    """A field as text: a whole number may stand without quotes. Raises BadRecord for anything else."""
    value = sent.get(key)
    if value is None:
        return ""
    if isinstance(value, str) or (isinstance(value, int) and not isinstance(value, bool)):
        return str(value)
    raise BadRecord(f"{key} is no text", where=key, todo='write it in quotes, as in "4.90"')


def _currency(value: object, key: str) -> tuple[str, str]:
    """A currency's sign and decimals; both "" where none is given. Raises BadRecord."""
    if value is None:
        return "", ""
    if not isinstance(value, Mapping) or set(value) - {"symbol", "decimals"}:
        todo = 'write {"symbol": "cr", "decimals": 2}'
        raise BadRecord("this is no currency", where=key, todo=todo)
    return _text(value, "symbol"), _text(value, "decimals")
