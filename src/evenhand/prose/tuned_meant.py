"""Which tuned parts a sentence may speak of, and whether it speaks of tuning at all."""

from __future__ import annotations

from collections.abc import Callable

from evenhand.errors import EvenhandError
from evenhand.prose.reading import Reading
from evenhand.prose.references import Reference, resolve
from evenhand.prose.signs import Named
from evenhand.tuning.figured import Of, TunedFigure
from evenhand.tuning.held import Held

_FIGURED = frozenset(of.value for of in Of)


def meant(reading: Reading) -> tuple[Held, ...]:
    """The points of the parts that a sentence may speak of: all of them where it names none."""
    may = _may_mean(reading)
    return tuple(held for held in reading.ground.held if may(held.setup, held.part))


def figures_meant(reading: Reading, own: tuple[Held, ...] | None = None) -> tuple[TunedFigure, ...]:
    """What else is known of these parts, or of those that these points are of; a gain is of a whole setup."""
    if own is None:
        may = _may_mean(reading)
        return tuple(each for each in reading.ground.figured if may(each.setup, each.part))
    parts = {(each.setup, part) for each in own for part in (each.part, "")}
    return tuple(each for each in reading.ground.figured if (each.setup, each.part) in parts)


def _may_mean(reading: Reading) -> Callable[[str, str], bool]:
    """Whether a sentence may mean a kind of part in a setup, by what it names; "" is no kind by itself."""
    setups, kinds = reading.sentence.keys(Named.SETUP), kinds_in(reading)

    def may(setup: str, part: str) -> bool:
        return (not setups or setup in setups) and (not kinds or not part or part in kinds)

    return may


def kinds_in(reading: Reading, span: tuple[int, int] | None = None) -> set[str]:
    """The kinds of part on record that a sentence or a stretch of it names, by a part's name as well."""
    sentence, ground = reading.sentence, reading.ground
    named = {*sentence.keys(Named.KIND, span), *map(ground.kinds_of, sentence.keys(Named.PART, span))}
    return named & {part.kind for part in ground.parts}


def is_about(reading: Reading) -> bool:
    """Whether a sentence names a part that is tuned, or speaks of tuning."""
    sentence, rules = reading.sentence, reading.rules
    if rules.plain["tuning"]["itself"] in sentence.keys(Named.KIND):
        return True
    parts = {held.part for held in reading.ground.held}
    return bool(parts & kinds_in(reading)) or bool(rules["tuning.about"].search(sentence.text))


def goes_on(reading: Reading) -> bool:
    """Whether a sentence names nothing itself and goes on about what was just spoken of."""
    sentence, rules = reading.sentence, reading.rules
    named = (Named.SETUP, Named.PART, Named.KIND, Named.TEST, Named.GROUP, Named.AUDIENCE)
    if any(map(sentence.of, named)) or rules["roles.both"].search(sentence.text):
        return False
    return rules["roles.it"].search(sentence.text) is not None


def is_of_tuning(reference: Reference, reading: Reading) -> bool:
    """Whether a reference quotes what is known of a tuned part beside its hours."""
    try:
        return resolve(reference, reading.ground.quotables)[0].sort.value in _FIGURED
    except EvenhandError:
        return False
