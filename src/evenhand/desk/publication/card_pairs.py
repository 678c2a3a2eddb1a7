"""Of which pairs there are cards: those that are asked for, or those that matter most."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import combinations
from typing import Any

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.comparison.pair_names import PairKeys, pair_word
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.shot_list import spelt
from evenhand.errors import NotFound
from evenhand.verdicts.front_pair import front_of_indexes

Pairs = tuple[PairKeys, ...]

MOST_PAIRS = 3
"""Of so many pairs the set holds headline, break-even, flips and what was measured beside where none is asked
for: all of three setups, the first against the next ones of more. Interval plots are there for every pair."""

HEADLINE, BREAK_EVEN, FLIPS, BESIDE = KINDS = ("headline", "break-even", "flips", "beside")
"""The kinds of cards that are of one pair, as their names begin."""


def pairs_shown(record: StudyOnRecord, asked: Collection[PairKeys] = ()) -> Pairs:
    """The pairs that have cards of their own, the one in front first; those `asked` for and no others.

    Where none is, of many whoever is in front with the others as they come.
    """
    every, front = pairs_of(record), front_of_indexes(findings_now(record).indexes)
    if front is not None:
        every = tuple(sorted(every, key=lambda pair: (pair != front.pair, front.front not in pair)))
    return tuple(pair for pair in every if pair in asked) if asked else every[:MOST_PAIRS]


def pairs_of(record: StudyOnRecord) -> Pairs:
    """Every pair of a study."""
    return tuple(combinations(record.study.setups, 2))


def pairs_left(record: StudyOnRecord, shown: Sequence[PairKeys]) -> int:
    """How many pairs have none."""
    return len(pairs_of(record)) - len(shown)


def pairs_named(record: StudyOnRecord, named: Iterable[Sequence[str]]) -> Pairs:
    """Pairs as somebody names them, either side first, as the study has them. Raises NotFound."""
    return tuple(dict.fromkeys(_named(record, tuple(each)) for each in named))


def _named(record: StudyOnRecord, wanted: tuple[str, ...]) -> PairKeys:
    every = pairs_of(record)
    found = next((pair for pair in every if wanted in (pair, pair[::-1])), None)
    if found is None:
        known = ", ".join(" and ".join(pair) for pair in every)
        raise NotFound(
            f"{' and '.join(wanted)} are no pair of this study", where=f"study '{record.study.key}'",
            todo=f"choose one of: {known}" if known else "cards of pairs need two setups",
        )  # fmt: skip
    return found


def pairs_cued(record: StudyOnRecord, cues: Iterable[str], asked: Collection[PairKeys] = ()) -> Pairs:
    """The pairs that are shown together with those that a script asks for by the names of their cards."""
    names = [spelt(cue) for cue in cues]
    cued = {pair for pair in pairs_of(record) if any(_is_of(name, pair, record) for name in names)}
    shown = pairs_shown(record, asked)
    return pairs_shown(record, {*shown, *cued}) if cued - {*shown} else shown


def _is_of(name: str, pair: PairKeys, record: StudyOnRecord) -> bool:
    word = pair_word(pair, record.study.setups).casefold()
    return any(f"{name}-".startswith(f"{kind}-{word}-") for kind in KINDS)


def pairs_in(rows: Iterable[Mapping[str, Any]]) -> Pairs:
    """The pairs that an edition's cards are of; none where it was frozen before its list told them."""
    own = (row for row in rows if row.get("pair") and str(row["name"]).startswith(KINDS))
    return tuple(dict.fromkeys((row["pair"][0], row["pair"][1]) for row in own))
