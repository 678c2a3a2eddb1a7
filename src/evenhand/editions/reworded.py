"""Whether two snapshots say the same in other words: a newer program's wording, and nothing of the study."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from evenhand.editions.snapshot import Snapshot, as_text
from evenhand.editions.tuned import tuning_sense

_WHOLE = ("study", "setups", "tests", "prices", "disclosures", "runs", "script", "imprint")
_WORD = re.compile(r"[\w.:~+-]*")  # keys, outcomes, days and digests; a sentence has spaces
_WRITTEN = frozenset({"name", "told", "note"})  # what people wrote stays, however many words it has
_FIGURE = frozenset({
    "value", "low", "high", "level", "n", "sort", "setups", "tests", "group", "audience", "metric", "day",
})  # fmt: skip
_DEFINED = frozenset({"unit", "scale", "better"})
_ASKED = frozenset({"kind", "rung", "pair", "audience"})


def reworded(before: Snapshot, after: Snapshot) -> bool:
    """Whether one differs from the other, and in nothing but the program's own words.

    What people wrote, what was measured and decided, every number and outcome, and which sentences stand, by
    their addresses, are the same; how they are told is not.
    """
    one, other = (as_text(replace(each, excused="", objected=())) for each in (before, after))
    return one != other and _sense(before) == _sense(after) and not _parts_moved(before, after)


def _parts_moved(before: Snapshot, after: Snapshot) -> bool:
    """Whether parts cost something else; editions that went out before that was written down tell nothing."""
    told = (list(before.part_prices), list(after.part_prices))
    return all(told) and told[0] != told[1]


def _sense(snapshot: Snapshot) -> dict[str, Any]:
    """A snapshot without the program's words."""
    return {name: getattr(snapshot, name) for name in _WHOLE} | {
        "definitions": {key: _only(row, _DEFINED) for key, row in snapshot.definitions.items()},
        "figures": {at: _only(row, _FIGURE) for at, row in snapshot.figures.items()},
        "findings": _wordless(snapshot.findings),
        "verdicts": _wordless(snapshot.verdicts),
        "claims": {at: _only(row, _ASKED) for at, row in snapshot.claims.items()},
        "refusals": Counter(str(_only(row, _ASKED)) for row in snapshot.refusals),
        "caveats": len(snapshot.caveats),
        "tuning": tuning_sense(snapshot),
    }


def _only(row: Mapping[str, Any], names: frozenset[str]) -> dict[str, Any]:
    return {name: _plain(row[name]) for name in sorted(names & row.keys())}


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _wordless(value: Any, *, named: str = "") -> Any:
    """Tables without sentences: keys, numbers, whatever is one word, and what people wrote."""
    if isinstance(value, Mapping):
        return {key: _wordless(item, named=key) for key, item in value.items()}
    if isinstance(value, str):
        return value if named in _WRITTEN or _WORD.fullmatch(value) else None
    return [_wordless(item) for item in value] if isinstance(value, Sequence) else value
