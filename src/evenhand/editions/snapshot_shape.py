"""What a snapshot has to look like before anything is worked out from it: a stranger may have made it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

Check = Callable[[Any, str], Iterator[str]]  # a value and where it stands, to what is wrong with it

MOST_WHOLE = 2**63  # what a column of whole numbers holds
DEEPEST = 40  # tables in tables; ours are some ten deep


def shape_troubles(told: Mapping[str, Any]) -> Iterator[str]:
    """What of a snapshot's values is not of the sort that belongs there, as sentences that name the place.

    `told` are the entries of the snapshot as they were read. Only what is there is looked at, and only what
    is read out of it.

    >>> next(shape_troubles({"runs": {}}))
    'runs is no list'
    >>> list(shape_troubles({"runs": [], "figures": {}}))
    []
    """
    for name, check in SHAPE.items():
        if name in told:
            yield from check(told[name], name)
    for name, value in told.items():
        yield from _plain(value, name, 0)


def _text(value: Any, at: str) -> Iterator[str]:
    if not isinstance(value, str):
        yield f"{at} is no text"


def _or_none(check: Check) -> Check:
    return lambda value, at: check(value, at) if value is not None else iter(())


def _rows(each: Check) -> Check:
    def check(value: Any, at: str) -> Iterator[str]:
        if not isinstance(value, list | tuple):  # a tuple is our own, where the text has no such entry
            yield f"{at} is no list"
            return
        for i, item in enumerate(value):
            yield from each(item, f"{at}[{i}]")

    return check


def _keyed(each: Check) -> Check:
    def check(value: Any, at: str) -> Iterator[str]:
        if not isinstance(value, dict):
            yield f"{at} is no table"
            return
        for key, item in value.items():
            yield from each(item, f"{at}.{key}")

    return check


def _table(**entries: Check) -> Check:
    """A table that has at least these entries."""

    def check(value: Any, at: str) -> Iterator[str]:
        if not isinstance(value, dict):
            yield f"{at} is no table"
            return
        for name, each in entries.items():
            if name not in value:
                yield f"{at} has no {name}"
            else:
                yield from each(value[name], f"{at}.{name}")

    return check


def _number(value: Any, at: str) -> Iterator[str]:
    if isinstance(value, bool) or not isinstance(value, int | float):
        yield f"{at} is no number"


def _ends(value: Any, at: str) -> Iterator[str]:
    if not isinstance(value, list) or len(value) != 2:
        yield f"{at} is no pair of numbers"
    else:
        yield from (wrong for each in value for wrong in _or_none(_number)(each, at))


def _plain(value: Any, at: str, deep: int) -> Iterator[str]:
    """What no table can hold, wherever it stands: endless numbers, half a sign, tables without a floor."""
    if isinstance(value, str):
        yield from _writable(value, at)
    elif isinstance(value, int | float):
        if not math.isfinite(value) if isinstance(value, float) else abs(value) >= MOST_WHOLE:
            yield f"{at} is a number that no table holds"
    elif deep > DEEPEST:
        yield f"{at[:80]} is nested too deep"
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from _writable(key, at)
            yield from _plain(item, f"{at}.{key}", deep + 1)
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from _plain(item, f"{at}[{i}]", deep + 1)


def _writable(text: str, at: str) -> Iterator[str]:
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        yield f"{at} holds half a sign, which no file can"


_anything = _table()
_PAIR = _table(a=_text, b=_text)
_LIMIT = _table(quantity=_text, most=_number, unit=_text, source=_text, read_on=_text)
_TRIAL = _table(
    key=_text, clock_mhz=_number, voltage_mv=_number, load=_text, settings=_keyed(_text), hours=_number,
    outcome=_text, taken_back=_or_none(_text), words=_text,
)  # fmt: skip
_CALLED = _table(
    clock_mhz=_number, voltage_mv=_number, at=_text, hours=_number, failures=_number, words=_text, more=_text,
    may=_text, may_not=_rows(_text), rooms_c=_or_none(_ends), most_per_h=_or_none(_number),
)  # fmt: skip
_ADVICE = _table(clock_mhz=_number, voltage_mv=_or_none(_number), words=_text)
_SAID = _table(
    load=_text, settings=_keyed(_text), claim=_or_none(_CALLED), advice=_rows(_ADVICE), doubts=_rows(_text),
)  # fmt: skip
_VERDICT = _table(a=_text, b=_text, outcome=_text, words=_text, break_even=_or_none(_anything))

SHAPE: Mapping[str, Check] = {
    "study": _table(key=_text, title=_text),
    "setups": _rows(_table(key=_text)),
    "tests": _rows(_table(key=_text)),
    "definitions": _keyed(_anything),
    "figures": _keyed(_table(words=_text, ranged=_text)),
    "findings": _table(findings=_rows(_PAIR), index=_rows(_PAIR)),
    "verdicts": _table(audiences=_rows(_table(audience=_table(key=_text), verdicts=_rows(_VERDICT)))),
    "claims": _keyed(_table(words=_text, kind=_text, pair=_rows(_text))),
    "refusals": _rows(_table(words=_text)),
    "prices": _keyed(_anything),
    "disclosures": _rows(_table(part=_text, how=_text)),
    "runs": _rows(
        _table(
            id=_text, label=_text, test=_text, setup=_text, state=_text,
            metrics=_keyed(_number), within_run=_keyed(_ends),
        )
    ),
    "caveats": _rows(_text),
    "script": _or_none(_text),
    "imprint": _anything,
    "excused": _text, "objected": _rows(_anything),
    "part_prices": _rows(_table(setup=_text, part=_text, minor=_number, on=_text, seller=_text)),
    "tuning": _rows(
        _table(
            setup=_text, part=_text, limits=_rows(_LIMIT), trials=_rows(_TRIAL), said=_rows(_SAID),
            beside=_keyed(_rows(_text)),
            stock_clock_mhz=_number, stock_voltage_mv=_or_none(_number),
        )
    ),
}  # fmt: skip
