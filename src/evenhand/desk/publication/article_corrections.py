"""What an edition corrects of the ones before it, in words, and where those lie."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import pairwise

from evenhand.editions.article import Correction
from evenhand.editions.bundle import About
from evenhand.editions.moved import REWORDED, Move, Of, moved
from evenhand.editions.part_prices import part_prices
from evenhand.editions.snapshot import Snapshot, from_text
from evenhand.editions.tuned import failing, figures_called, machine_called, part_name, series_name
from evenhand.editions.turned import turned
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital, counted
from evenhand.records.publications import Publication

EARLIER = "edition-{}/"
FEW_FAILURES = 3  # trials that are told one by one
TOLD_TO_READERS = (
    Of.PRICE, Of.TERM, Of.CLAIM, Of.DEFINITION, Of.DISCLOSURE, Of.WORDING, Of.CALLED, Of.LIMIT, Of.TRIAL,
)  # fmt: skip


def corrections_to(snapshot: Snapshot, about: About, earlier: Sequence[Publication]) -> Iterator[Correction]:
    """What was corrected since the first edition, this one first."""
    said = [(e.number, e.at, e.reason, said_in(e)) for e in earlier]
    said.append((about.number, about.at, about.reason, snapshot))
    for before, (edition, at, reason, after) in reversed(list(pairwise(said))):
        called = called_in(after) | called_in(before[3])
        moves = [m for m in moved(before[3], after) if m.in_print and is_told(m, called)]
        yield Correction(
            number=edition, day=day_words(at.date()), reason=reason,
            moved=tuple(moves_told(moves, called, failing(after))), turned=tuple(turned(before[3], after)),
            at="" if edition == about.number else at_edition(edition),
        )  # fmt: skip


def is_told(move: Move, called: Mapping[str, str]) -> bool:
    """Whether readers are told of it. Of figures only those of tuned parts are, once they were published.

    All that other figures are of is told in sentences.
    """
    if move.of is Of.FIGURE:
        return move.before is not None and move.name in called
    return move.of in TOLD_TO_READERS


def page_of(edition: Publication) -> str:
    """Where the page of an earlier edition lies beside the newest."""
    return at_edition(edition.number)


def at_edition(number: int) -> str:
    """The same by its number."""
    return f"{EARLIER.format(number)}index.html"


def said_in(edition: Publication) -> Snapshot:
    """What an earlier edition says."""
    return from_text(edition.body, where=f"edition {edition.number}")


def called_in(snapshot: Snapshot) -> dict[str, str]:
    """What setups and disclosed parts of a snapshot are called, by the names under which they move."""
    parts = {part["key"]: isolated(part["name"]) for setup in snapshot.setups for part in setup["parts"]}
    told: dict[str, str] = {
        f"{row['part']}, {row['how']}": parts.get(row["part"], str(row["part"]))
        for row in snapshot.disclosures
    }
    setups = {setup["key"]: machine_called(snapshot, setup) for setup in snapshot.setups}
    priced = {
        each.name: f"{parts.get(each.part, each.part)} in {setups.get(each.setup, each.setup)}"
        for each in part_prices(snapshot)
    }
    figures = dict(figures_called(snapshot, setups))
    return told | priced | setups | dict(_tuned(snapshot, setups)) | figures


def _tuned(snapshot: Snapshot, setups: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Tuned parts, their series and their limits, by the names under which they move."""
    for part in snapshot.tuning:
        whose = f"{setups.get(part['setup'], part['setup'])}, {part['part']}"
        for said in part["said"]:
            yield series_name(part, said), f"{whose}, under {said['load']}"
        for limit in part["limits"]:
            yield f"{limit['quantity']} of the {part_name(part)}", f"the {limit['quantity']} of {whose}"


def moves_told(
    moves: Sequence[Move], called: Mapping[str, str], failed: Collection[str] = ()
) -> Iterator[str]:
    """What moved, each in words; sentences that tell other days of their prices alone are counted last.

    Figures of tuned parts stand behind the trials that changed them. `failed` names trials that failed, by
    which they move.
    """
    told = [move for move in moves if not (move.only_days or move.of in (Of.TRIAL, Of.FIGURE))]
    yield from (move_words(move, called) for move in told)
    yield from trials_told([move for move in moves if move.of is Of.TRIAL], failed)
    yield from (move_words(move, called) for move in moves if move.of is Of.FIGURE)
    n = sum(move.only_days for move in moves)
    if n:
        tell = "tells" if n == 1 else "tell"
        yield f"{capital(counted(n, 'sentence'))} {tell} other days of prices, and nothing else"


def trials_told(moves: Sequence[Move], failed: Collection[str]) -> Iterator[str]:
    """How many trials came, the few of them that failed, and each that is told otherwise or not any more."""
    came = [move for move in moves if move.before is None]
    broke = [move for move in came if move.name in failed]
    if came:
        n, were = len(came), "was" if len(came) == 1 else "were"
        bad = f", of which {counted(len(broke), 'trial')} failed" if broke else ""
        yield f"{capital(counted(n, 'trial'))} of tuned parts {were} added{bad}"
    if len(broke) <= FEW_FAILURES:
        yield from (f"Failed: {move.after}" for move in broke)
    yield from (move_words(move, {}) for move in moves if move.before is not None)


def move_words(move: Move, called: Mapping[str, str]) -> str:
    """One thing that moved, as it was and as it is; whose price, which part."""
    if move == REWORDED:
        return capital(str(move.after))
    of = f" of {called[move.name]}" if move.name in called else ""
    what = called[move.name] if move.of is Of.FIGURE else f"{capital(move.of.value)}{of}"
    return f"{what}: {move.before or 'not there before'} → {move.after or 'no more'}"
