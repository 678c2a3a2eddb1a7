"""That tuning made a machine quicker or slower than it was at stock, in words without a figure."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.clauses import clauses, is_denied
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_meant import figures_meant
from evenhand.publish.tuning.quoted import figure_meaning, figure_words
from evenhand.tuning.figured import Of, TunedFigure

WAYS = {"quicker": 1, "slower": -1}


def gained(reading: Reading) -> Iterator[Objection]:
    """A lead over stock that no runs on record bear, or that they have otherwise; the first one said."""
    found = [each for each in figures_meant(reading) if each.of is Of.GAIN and not each.test]
    for way, sign in WAYS.items():
        for clause in clauses(reading.sentence, reading.rules):
            text = reading.sentence.text
            said = reading.rules[f"tuning.{way}"].search(text, clause.start, clause.quiet_from)
            if said is None or is_denied(reading.sentence, said, clause=clause, rules=reading.rules):
                continue
            if not found or not all(_is_so(each, sign) for each in found):
                yield _refused(said, found, reading)
                return


def _is_so(gain: TunedFigure, sign: int) -> bool:
    """Whether a gain is clear of none, on the side that is said."""
    ends = (gain.low, gain.high)
    return all(end is not None and sign * end > 0 for end in ends)


def _refused(said: re.Match[str], found: list[TunedFigure], reading: Reading) -> Objection:
    place, excerpt = place_of(said.span(), reading)
    names, would = reading.ground.names, ""
    if found:
        would = f"{figure_meaning(found[0], names)}: {figure_words(found[0])[1]}"
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt, would_stand=would,
        reason=reading.rules.said["tuned_gained" if found else "tuned_gain"],
    )  # fmt: skip
