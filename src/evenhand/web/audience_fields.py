"""The fields of an audience: out of its record into a form, and what was sent back again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from starlette.datastructures import FormData

from evenhand.desk.pages.for_whom import Weighed, shares_said
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.typed_numbers import decimal
from evenhand.web.forms import Reader, Reading

Values = dict[str, str | tuple[str, ...]]
NEW: Values = {"properties-speed": "1"}
SPANS: Mapping[str, tuple[str, str]] = {
    "hours_a_year": ("hours_from", "hours_to"),
    "tariff": ("tariff_from", "tariff_to"),
}
SETS = (("groups", "tests"), ("properties",))  # what sums to one


def field_of(kind: str, key: str) -> str:
    """The form's field for one weight, fit to be an id whatever a group is called.

    >>> field_of("groups", "games"), field_of("groups", "3D work")
    ('groups-games', 'groups-3D_20_work')
    """
    return f"{kind}-" + "".join(
        c if (c.isascii() and c.isalnum()) or c == "-" else f"_{ord(c):x}_" for c in key
    )


def audience_values(given: Mapping[str, object]) -> Values:
    """What stands in the fields of an audience, from its table."""
    values: Values = {name: str(given.get(name) or "") for name in ("name", "told", "fixed")}
    for name, fields in SPANS.items():
        told = given.get(name)
        ends = told if isinstance(told, list) else [told, told]
        values |= {field: _as_field(end) for field, end in zip(fields, ends, strict=True)}
    for kind in ("groups", "tests", "properties"):
        weights = given.get(kind)
        for key, weight in weights.items() if isinstance(weights, Mapping) else ():
            values[field_of(kind, key)] = f"{weight:.12g}"
    return values


def _as_field(end: object) -> str:
    return f"{end:.12g}" if isinstance(end, int | float) else str(end or "")


def read_audience(sent: FormData, weighed: Iterable[Weighed]) -> Reading:
    """An audience; an empty weight is none."""
    reader = Reader(sent)
    tables: dict[str, dict[str, float]] = {"groups": {}, "tests": {}, "properties": {}}
    for each in weighed:
        weight = reader.number(field_of(each.kind, each.key))
        if weight is not None:
            tables[each.kind][each.key] = weight
    hours, tariff = (SPANS[name] for name in ("hours_a_year", "tariff"))
    return reader.done(
        name=reader.words("name"), told=reader.text("told"), fixed=reader.words("fixed"),
        hours_a_year=_both([reader.number(field, "h") for field in hours]),
        tariff=_both([reader.words(field) for field in tariff]), **tables,
    )  # fmt: skip


def _both(ends: list[Any]) -> list[Any] | None:
    """A span of two fields: one left empty is the same as the other, two are none."""
    first, last = ends
    if first is None and last is None:
        return None
    return [last if first is None else first, first if last is None else last]


def at_fields(problems: Iterable[FieldProblem], weighed: tuple[Weighed, ...]) -> tuple[FieldProblem, ...]:
    """Problems of an audience's table at the fields of its form; of all weights together at the first."""
    firsts = {kind: field_of(each.kind, each.key) for each in reversed(weighed) for kind in (each.kind,)}
    firsts["groups"] = next((field_of(each.kind, each.key) for each in weighed), "")
    return tuple(
        FieldProblem(field=_place(each.field, firsts), found=each.found, todo=each.todo) for each in problems
    )


def _place(field: str, firsts: Mapping[str, str]) -> str:
    kind, dot, key = field.partition(".")
    if kind in SPANS:
        return SPANS[kind][0]
    return field_of(kind, key) if dot else firsts.get(kind, field)


def shares_in(values: Mapping[str, str | tuple[str, ...]], weighed: Iterable[Weighed]) -> dict[str, str]:
    """What share each weight says that stands in a form, by its field."""
    found: dict[str, str] = {}
    every = tuple(weighed)
    for kinds in SETS:
        fields = [field_of(each.kind, each.key) for each in every if each.kind in kinds]
        typed = {field: decimal(str(values.get(field) or "")) for field in fields}
        weights = {field: weight for field, weight in typed.items() if weight is not None}
        found |= dict.fromkeys(fields, "") | shares_said(weights)
    return found
