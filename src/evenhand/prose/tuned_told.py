"""Tuned parts in a sentence: hours and bounds held against the trials, and words that no hours bear out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.prose.clauses import claims_nothing, clauses, is_denied, not_said
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_said import SaidOfTrials, Span, said_of_trials
from evenhand.publish.tuning_words import may_words, point_words
from evenhand.tuning.held import Held


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedTold:
    """What is objected to of tuned parts, and the stretches of the sentence that this settles.

    `met` says that the sentence was read as one of trials, sound or not.
    """

    objections: tuple[Objection, ...] = ()
    settled: tuple[Span, ...] = ()
    met: bool = False

    def left(self, claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
        """Claims of what lasts but for those that are settled here."""
        return tuple(each for each in claims if each.rule.says != "lasting" or not self._has(each.span))

    def beside(self, found: Iterable[Objection], reading: Reading) -> Iterator[Objection]:
        """Objections to figures but for those of figures that are settled here."""
        places = [place_of(span, reading)[0] for span in self.settled]
        for each in found:
            settled = any(p.start < each.place.end and each.place.start < p.end for p in places)
            if each.rule is not Rule.BARE_NUMBER or not settled:
                yield each

    def _has(self, span: Span) -> bool:
        return any(start < span[1] and span[0] < end for start, end in self.settled)


NOTHING = TunedTold()


def tuned_told(reading: Reading, claims: tuple[Claim, ...]) -> TunedTold:
    """What a sentence says of tuned parts, held against their trials."""
    own = meant(reading)
    if not own or claims_nothing(reading.sentence, reading.rules):
        return NOTHING
    bare = tuple(_bare(reading, claims))
    if bare:
        return TunedTold(objections=tuple(_refused(each.span(), own, reading) for each in bare[:1]),
                         settled=tuple(each.span() for each in bare), met=True)  # fmt: skip
    said = said_of_trials(reading, [held.load for held in own])
    supposed = reading.rules["tuning.supposed"].search(reading.sentence.text)
    if said.timeless and not supposed and _is_about(reading):
        return TunedTold(objections=(_refused(said.spans[-1], own, reading),), settled=said.spans, met=True)
    if not (said.claims and (_is_about(reading) or _names_trials(said))):
        return TunedTold(settled=tuple(each.span for each in (said.clock, said.voltage) if each is not None))
    if supposed or any(said.is_of(held) for held in own):
        return TunedTold(settled=said.spans, met=True)
    return TunedTold(objections=(_otherwise(said, own, reading),), settled=said.spans, met=True)


def meant(reading: Reading) -> tuple[Held, ...]:
    """The points of the parts that a sentence may speak of: all of them where it names none."""
    sentence, ground = reading.sentence, reading.ground
    setups = sentence.keys(Named.SETUP)
    kinds = {*sentence.keys(Named.KIND), *(ground.kinds_of(part) for part in sentence.keys(Named.PART))}
    kinds &= {part.kind for part in ground.parts}
    own = [held for held in ground.held if not setups or held.setup in setups]
    return tuple(held for held in own if not kinds or held.part in kinds)


def _is_about(reading: Reading) -> bool:
    """Whether a sentence names a part that is tuned, or speaks of tuning."""
    sentence, parts = reading.sentence, {held.part for held in reading.ground.held}
    named = {*sentence.keys(Named.KIND), *map(reading.ground.kinds_of, sentence.keys(Named.PART))}
    return bool(parts & named) or bool(reading.rules["tuning.about"].search(sentence.text))


def _names_trials(said: SaidOfTrials) -> bool:
    """Whether hours and failures stand beside what only trials have: a load, a point, a bound."""
    return bool(said.loads or said.other_load or said.clock or said.voltage or said.bound)


def _bare(reading: Reading, claims: tuple[Claim, ...]) -> Iterator[re.Match[str]]:
    """Words that no hours bear out, said of a part that is tuned or of a machine that has one."""
    sentence, rules = reading.sentence, reading.rules
    lasting = [claim.span for claim in claims if claim.rule.says == "lasting"]
    away = list(not_said(sentence, rules))
    for clause in clauses(sentence, rules):
        for found in rules["tuning.bare"].finditer(sentence.text, clause.start, clause.quiet_from):
            start, end = found.span()
            told = _is_about(reading) or any(s < end and start < e for s, e in lasting)
            quiet = any(s <= start < e for s, e in away) or is_denied(
                sentence, found, clause=clause, rules=rules
            )
            if told and not quiet and not rules["tuning.bare_of_others"].search(sentence.text):
                yield found


def _refused(span: Span, own: tuple[Held, ...], reading: Reading) -> Objection:
    place, excerpt = place_of(span, reading)
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt,
        reason=reading.rules.words("tuned_bare", word=excerpt), would_stand=_called(own),
    )  # fmt: skip


def _otherwise(said: SaidOfTrials, own: tuple[Held, ...], reading: Reading) -> Objection:
    """The bound where all the rest is so of some point, else the hours, are on record of none."""
    seen = said.hours is not None and any(replace(said, bound=None).is_of(held) for held in own)
    told = said.bound if seen or said.hours is None else said.hours
    place, excerpt = place_of(told.span if told else said.spans[0], reading)
    near = [held for held in own if held.told and (not said.loads or held.load in said.loads)]
    return Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt,
        reason=reading.rules.words("tuned_otherwise", figure=excerpt), would_stand=_called(near or own),
    )  # fmt: skip


def _called(own: Sequence[Held]) -> str:
    """What may be said in its place: the claim of the part, with its point; "" where no hours bear any."""
    held = next((each for each in own if each.told), None)
    if held is None:
        return ""
    at = point_words(held.clock_mhz, held.voltage_mv, offset=held.offset)
    return f"{at}: {may_words(held.claim, held.load)[0]}"
