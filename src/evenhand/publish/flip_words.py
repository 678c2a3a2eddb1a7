"""What would flip a verdict, in words: the change, and what it would say then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.publish.money_words import amount, even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, listed, tenths
from evenhand.records.prices import Currency
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move
from evenhand.verdicts.standing import (
    AHEAD,
    BEHIND,
    BY_VALUE_A,
    BY_VALUE_B,
    LEVEL,
    UNSETTLED,
    VALUE_LEVEL,
)

LOWS = "1% lows"


def flip_sentence(
    flip: Flip, names: Names, *, currency: Currency | None, runs: Mapping[str, str], also: Sequence[Flip] = ()
) -> str:
    """The change and its effect as one sentence, with what else the same change turns; `runs` by run id."""
    changes = listed(tuple(move_words(move, names, currency=currency, runs=runs) for move in flip.moves))
    return f"{capital(changes)}: {effects_words((flip, *also), names)}."


def effects_words(flips: Sequence[Flip], names: Names) -> str:
    """What one change turns at once: "Gull is then in front of Tern, and Tern and Gull are level"."""
    first, *others = flips
    return ", and ".join(
        (effect_words(first, names), *(effect_words(each, names, then="") for each in others))
    )


def once_words(flip: Flip, names: Names, *, currency: Currency | None, runs: Mapping[str, str]) -> str:
    """The effect before its changes: "Plover and Dunlin are level by value once Plover rises to 1,019 dl"."""
    changes = listed(tuple(move_words(move, names, currency=currency, runs=runs) for move in flip.moves))
    return f"{effect_words(flip, names, then='')} once {changes}"


def leans_words(flips: Sequence[Flip], pair: tuple[str, str], names: Names) -> str:
    """On which single tests the verdict on a pair, and who is in front, hang; "" where none alone turns it.

    The two are told apart: without a test the same verdict may stand and the other be in front.
    """
    turned = _turned_by(flips, pair, Aspect.OUTCOME, names)
    order = [test for test in _turned_by(flips, pair, Aspect.ORDER, names) if test not in turned]
    stands = "a verdict would stand" if _is_open(flips, pair) else "another verdict stands"
    said = f"without {' or without '.join(turned)} {stands}" if turned else ""
    if order:
        same = "the verdict stands and the order turns" if turned else "only the order turns"
        same = "only the order turns" if _is_open(flips, pair) else same
        said += f"{'; ' if turned else ''}without {' or without '.join(order)} {same}"
    many = "single tests" if len(turned) + len(order) > 1 else "one test"
    return f"It leans on {many}: {said}." if said else ""


def _is_open(flips: Sequence[Flip], pair: tuple[str, str]) -> bool:
    """Whether nothing is called of the pair today, so that no other verdict can take its place."""
    own = (flip for flip in flips if (flip.a, flip.b) == pair and flip.aspect is Aspect.OUTCOME)
    return any(flip.was == UNSETTLED for flip in own)


def _turned_by(
    flips: Sequence[Flip], pair: tuple[str, str], aspect: Aspect, names: Names
) -> tuple[str, ...]:  # fmt: skip
    """The tests that turn one aspect of a pair where each alone is left out."""
    own = (flip.moves for flip in flips if (flip.a, flip.b) == pair and flip.aspect is aspect)
    alone = (moves[0] for moves in own if len(moves) == 1 and moves[0].lever is Lever.TITLE)
    return tuple(dict.fromkeys(names.test(move.name) for move in alone))


def move_words(move: Move, names: Names, *, currency: Currency | None, runs: Mapping[str, str]) -> str:
    """One change as a clause: "Plover rises to 1,019 dl", "games falls to 56.8 % from 80 %".

    Weights and margins are told to the tenth of a point that is tried: rounded, they may not turn anything.
    """
    if move.lever is Lever.TITLE:
        return f"{names.test(move.name)} is left out"
    if move.lever is Lever.RUN:
        return f"the run {runs.get(move.name, move.name)} is put back"
    if move.lever is Lever.METRIC:
        which = names.test(move.name) if move.name else "every game"
        return f"{which} is judged by its {LOWS}"
    before, after = move.before or 0.0, move.after or 0.0
    way = "rises" if after > before else "falls"
    if move.lever is Lever.PRICE and currency is not None:
        return f"{names.setup(move.name)} {way} to {amount(after, currency)} from {amount(before, currency)}"
    what = "the margin" if move.lever is Lever.MARGIN else f"the weight of {weight_name(move.name, names)}"
    return f"{what} {way} to {tenths(after)} from {tenths(before)}"


def weight_name(key: str, names: Names) -> str:
    """A group, a test or a property by its name."""
    return names.group(key) if key in names.groups else names.test(key)


_OUTCOMES = {AHEAD: "ahead", BEHIND: "behind", LEVEL: "level"}
_VALUES = {BY_VALUE_A: "a", BY_VALUE_B: "b", VALUE_LEVEL: "level"}
_ORDERS = {1: "a", -1: "b"}


def becomes_word(aspect: Aspect, code: int) -> str:
    """A code of an aspect in a word, for programs: an outcome of a over b, or the side that is named."""
    if aspect is Aspect.OUTCOME:
        return _OUTCOMES.get(code, "unsettled")
    return _VALUES.get(code, "unknown") if aspect is Aspect.VALUE else _ORDERS.get(code, "neither")


def effect_words(flip: Flip, names: Names, *, then: str = "then ") -> str:
    """What it then says of the pair, both named: "Dunlin is then in front of Plover"."""
    a, b = names.setup(flip.a), names.setup(flip.b)
    if flip.aspect is Aspect.ORDER:
        if not flip.becomes:
            return f"neither of {a} and {b} is {then}in front"
        first, second = (a, b) if flip.becomes > 0 else (b, a)
        return f"{first} is {then}in front of {second}"
    if flip.aspect is Aspect.VALUE:
        return {
            BY_VALUE_A: f"{a} is {then}the better value beside {b}",
            BY_VALUE_B: f"{b} is {then}the better value beside {a}",
            VALUE_LEVEL: f"{a} and {b} are {then}{even_words(value_open=flip.becomes_open)}",
        }.get(flip.becomes, f"nothing is {then}said of value between {a} and {b}")
    if flip.becomes in (AHEAD, BEHIND):
        first, second = (a, b) if flip.becomes == AHEAD else (b, a)
        return f"{first} is {then}ahead of {second}"
    return f"{a} and {b} are {then}{'level' if flip.becomes == LEVEL else 'unsettled'}"
