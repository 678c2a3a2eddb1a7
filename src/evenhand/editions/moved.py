"""What moved from one edition to the next: figures, sentences, prices, runs, definitions, terms."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from evenhand.editions import tuned
from evenhand.editions.lasting import lasting_claims
from evenhand.editions.part_prices import part_prices
from evenhand.editions.reworded import reworded
from evenhand.editions.script_moves import script_moves
from evenhand.editions.snapshot import Snapshot, Table
from evenhand.publish.dates import MONTHS
from evenhand.records.publications import How

_DAY = rf"\d{{1,2}} (?:{'|'.join(MONTHS)}) \d{{4}}"
ONE_OR_MORE_DAYS = rf"(?:(?:\d{{1,2}}, )*\d{{1,2}} and )?{_DAY}(?:(?:, | and ){_DAY})*"
_DAYS = re.compile(ONE_OR_MORE_DAYS)


class Of(StrEnum):
    """What sort of thing moved."""

    TERM = "term"
    DEFINITION = "definition"
    SETUP = "setup"
    TEST = "test"
    PRICE = "price"
    DISCLOSURE = "disclosure"
    RUN = "run"
    TUNED = "stock of a tuned part"
    LIMIT = "limit of a tuned part"
    TRIAL = "trial"
    CALLED = "what a tuned part may be called"
    ADVISED = "advised voltage"
    BESIDE = "what else is told of a tuned part"
    FIGURE = "figure"
    CLAIM = "sentence"
    REFUSAL = "refusal"
    CAVEAT = "caveat"
    SCRIPT = "script"
    IMPRINT = "imprint"
    WORDING = "wording"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One thing that is another now: as it was and as it is, in words; None where it was not or is no more.

    `in_print` says that a reader can see it: figures may move by less than what is printed.
    """

    of: Of
    name: str
    before: str | None
    after: str | None
    in_print: bool = True

    @property
    def only_days(self) -> bool:
        """Whether a sentence stands as it did, and tells other days of its prices alone."""
        if self.of is not Of.CLAIM or self.before is None or self.after is None:
            return False
        return _DAYS.sub("", self.before) == _DAYS.sub("", self.after)


REWORDED = Move(
    of=Of.WORDING, name="the program", before="as it went out",
    after="the program's own wording changed, and nothing else did",
)  # fmt: skip


def moved(before: Snapshot, after: Snapshot) -> tuple[Move, ...]:
    """Everything that differs, causes first: what was written down, then what follows from it.

    Where nothing differs but how a newer program tells the same, that is told once, as `REWORDED`.
    """
    after = tuned.as_known_to(before, after)
    if reworded(before, after):
        return (REWORDED,)
    told = (
        move for of, of_it in TOLD.items() for move in _between(of, dict(of_it(before)), dict(of_it(after)))
    )
    return (*told, *_of_parts(before, after), *_in_script(before, after))


def _of_parts(before: Snapshot, after: Snapshot) -> Iterator[Move]:
    """Prices of parts, where both editions tell them."""
    if before.part_prices and after.part_prices:
        yield from _between(Of.PRICE, *({e.name: e.words for e in part_prices(s)} for s in (before, after)))


def _in_script(before: Snapshot, after: Snapshot) -> Iterator[Move]:
    for chapter, was, now in script_moves(before.script, after.script):
        yield Move(of=Of.SCRIPT, name=chapter, before=was, after=now)


def _between(of: Of, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Move]:
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name), after.get(name)
        if was != now:
            said = [_words(of, each) for each in _apart(was, now)]
            yield Move(of=of, name=name, before=said[0], after=said[1], in_print=said[0] != said[1])


def _apart(was: Any, now: Any) -> tuple[Any, Any]:
    """Two tables without the entries that are alike, but for their own words; all else as it is."""
    if not (isinstance(was, Mapping) and isinstance(now, Mapping)):
        return was, now
    alike = {key for key in was.keys() & now.keys() if was[key] == now[key]} - KEPT
    before, after = ({key: item for key, item in each.items() if key not in alike} for each in (was, now))
    return before, after


KEPT = {"words", "ranged", "how", "by", "why", "instead"}  # of an entry, what it is told by


def _words(of: Of, value: Any) -> str | None:
    if value is None or isinstance(value, str):
        return value
    if of is Of.FIGURE:
        return str(value["ranged"])
    if of is Of.DISCLOSURE:
        return How(value["how"]).meaning + (f" ({value['by']})" if value.get("by") else "")
    if of is Of.REFUSAL:
        return f"{value['why']}" + (f"; what stands: {value['instead']}" if value.get("instead") else "")
    if of in (Of.CLAIM, Of.PRICE) and value.get("words"):
        return str(value["words"])
    return _row(value)


def _row(value: Any) -> str:
    """A table in words: its entries in a row."""
    if isinstance(value, Mapping):
        return "; ".join(
            f"{key}: {_row(item)}" for key, item in value.items() if item not in (None, "", [], {})
        )
    if isinstance(value, Sequence) and not isinstance(value, str):
        return ", ".join(map(_row, value))
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def _keyed(rows: Sequence[Table], key: str) -> Iterator[tuple[str, Table]]:
    return ((str(row[key]), row) for row in rows)


def _prices(snapshot: Snapshot) -> Iterator[tuple[str, Table]]:
    """Prices by setup, each with its amount and day in the words of its figure."""
    for setup, row in snapshot.prices.items():
        yield setup, {**row, "words": snapshot.figures.get(f"price of {setup}", {}).get("ranged")}


TOLD: Mapping[Of, Callable[[Snapshot], Iterable[tuple[str, Any]]]] = {
    Of.TERM: lambda s: s.study.items(),
    Of.DEFINITION: lambda s: s.definitions.items(),
    Of.SETUP: lambda s: _keyed(s.setups, "key"),
    Of.TEST: lambda s: _keyed(s.tests, "key"),
    Of.PRICE: _prices,
    Of.DISCLOSURE: lambda s: ((f"{row['part']}, {row['how']}", row) for row in s.disclosures),
    Of.RUN: lambda s: _keyed(s.runs, "id"),
    Of.TUNED: lambda s: ((tuned.part_name(row), tuned.stock_words(row)) for row in s.tuning),
    Of.LIMIT: lambda s: tuned.limits_told(s).items(),
    Of.TRIAL: lambda s: tuned.trials_told(s).items(),
    Of.CALLED: lambda s: tuned.called_told(s).items(),
    Of.ADVISED: lambda s: tuned.advised_told(s).items(),
    Of.BESIDE: lambda s: tuned.beside_told(s).items(),
    Of.FIGURE: lambda s: s.figures.items(),
    Of.CLAIM: lasting_claims,
    Of.REFUSAL: lambda s: _keyed(s.refusals, "words"),
    Of.CAVEAT: lambda s: ((words, words) for words in s.caveats),
    Of.IMPRINT: lambda s: s.imprint.items(),
}
