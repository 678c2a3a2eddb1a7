"""That a tuned part or its machine draws more or less than at stock, or does more work for it, in words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from evenhand.prose.clauses import clauses, is_denied
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_meant import figures_meant, kinds_in
from evenhand.prose.tuned_said import Span
from evenhand.publish.tuning.quoted import figure_meaning, figure_words
from evenhand.tuning.figured import Of, TunedFigure

WAYS = (
    ("draws_more", Of.ADDED, 1), ("draws_less", Of.ADDED, -1), ("more_work", Of.WORK, 1),
    ("less_work", Of.WORK, -1),
)  # fmt: skip
"""By the name of their pattern: of which figure words without an amount are, and its sign."""


def spent(reading: Reading, figures: Sequence[Span] = ()) -> Iterator[Objection]:
    """What is said to be drawn or done and the record has otherwise, or not at all; the first one said.

    What stands where `figures` were typed is held against the record by these.
    """
    text, rules = reading.sentence.text, reading.rules
    for way, of, sign in WAYS:
        found = tuple(_known(of, reading))
        for clause in clauses(reading.sentence, rules):
            said = rules[f"tuning.{way}"].search(text, clause.start, clause.quiet_from)
            if said is None or is_denied(reading.sentence, said, clause=clause, rules=rules):
                continue
            if any(start < said.end() and said.start() < end for start, end in figures):
                continue
            if not found or not all(_is_so(each, sign) for each in found):
                yield _refused(said, found, reading)
                return


def _known(of: Of, reading: Reading) -> Iterator[TunedFigure]:
    """Figures over all tests: read at the wall where that is said, of a part that is named its own."""
    wall = reading.rules["tuning.at_the_wall"].search(reading.sentence.text) is not None
    part = bool(kinds_in(reading))
    for each in figures_meant(reading):
        metered = each.meter == "wall" if wall else each.part or not part
        if each.of is of and not each.test and metered:
            yield each


def _is_so(figure: TunedFigure, sign: int) -> bool:
    """Whether a figure is clear of none, on the side that is said; one that was read alone by itself."""
    ends = (figure.value,) if figure.low is None else (figure.low, figure.high)
    return all(end is not None and sign * end > 0 for end in ends)


def _refused(said: re.Match[str], found: Sequence[TunedFigure], reading: Reading) -> Objection:
    place, excerpt = place_of(said.span(), reading)
    would = f"{figure_meaning(found[0], reading.ground.names)}: {figure_words(found[0])[1]}" if found else ""
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt, would_stand=would,
        reason=reading.rules.said["tuned_read" if found else "tuned_spent"],
    )  # fmt: skip
