"""Tuned parts in a sentence: hours and bounds held against the trials, figures against what else is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.prose.clauses import claims_nothing
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_bare import bare_words, beyond, called, denied_harmless, refused
from evenhand.prose.tuned_counts import miscounted_trials
from evenhand.prose.tuned_gain import gained, is_of_gain, names_machine, names_state
from evenhand.prose.tuned_meant import figures_meant, goes_on, is_about, is_of_tuning, meant
from evenhand.prose.tuned_record import Parts
from evenhand.prose.tuned_said import SaidOfTrials, Span, said_of_trials
from evenhand.prose.tuned_spent import spent
from evenhand.prose.tuned_typed import typed_figures
from evenhand.tuning.held import Held


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedTold:
    """What is objected to of tuned parts, and the stretches of the sentence that this settles.

    `figures` are typed figures that were held against the part's own, `own` words that speak of these, or of
    where it begins to fail, and of no lead; `at_stock` says that it is held against its own stock alone, and
    `alone` that such figures stand in it and no second machine.
    `bare` says that words stand in it which no hours bear out: what else is to last is said by these; `met`
    that the sentence was read as one of tuned parts, sound or not, and `of` of
    which, by setup and kind.
    """

    objections: tuple[Objection, ...] = ()
    settled: tuple[Span, ...] = ()
    figures: tuple[Span, ...] = ()
    own: tuple[Span, ...] = ()
    at_stock: bool = False
    alone: bool = False
    bare: bool = False
    met: bool = False
    of: frozenset[tuple[str, str]] = frozenset()

    def left(self, claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
        """Claims but for those that are settled here: of what lasts, of a part's own figures, over stock."""
        return tuple(each for each in claims if not self._settles(each))

    def _settles(self, claim: Claim) -> bool:
        lasts, here = claim.rule.says == "lasting", _touches(claim.span, self.settled)
        if self.bare and (lasts or here):
            return True
        if lasts:
            return here
        return self.at_stock or _touches(claim.span, self.own) or (self.alone and claim.rule.of in OF_A_PART)

    def beside(self, found: Iterable[Objection], reading: Reading) -> Iterator[Objection]:
        """What else is objected to, but for what is settled here."""
        settled = [place_of(span, reading)[0] for span in self.settled]
        figures = [place_of(span, reading)[0] for span in self.figures]
        for each in found:
            of_hours = any(p.start < each.place.end and each.place.start < p.end for p in settled)
            of_figure = any(p.start < each.place.end and each.place.start < p.end for p in figures)
            number = each.rule in (Rule.BARE_NUMBER, Rule.CONTRARY_NUMBER)
            known = each.rule is Rule.UNDEFINED and bool(
                self.figures
            )  # a part's own figures say what they are of
            if not known and not (number and (of_hours or of_figure)):
                yield each


def _touches(span: Span, others: Sequence[Span]) -> bool:
    return any(start < span[1] and span[0] < end for start, end in others)


NOTHING = TunedTold()
OF_A_PART = frozenset({"heat", "power", "energy"})  # what a part's own figures are of, too


def tuned_told(
    reading: Reading, claims: tuple[Claim, ...], *, before: frozenset[tuple[str, str]] = frozenset()
) -> TunedTold:
    """What a sentence says of tuned parts, held against their trials and what follows from them.

    `before` are the parts, by setup and kind, of which the sentence before it in its paragraph spoke.
    """
    again = bool(before) and goes_on(reading)
    own = tuple(each for each in meant(reading) if not again or (each.setup, each.part) in before)
    if not own or claims_nothing(reading.sentence, reading.rules):
        return NOTHING
    about = again or is_about(reading) or names_state(reading)
    told = _of_trials(reading, claims, own, about=about)
    typed = typed_figures(reading, Parts(held=own, figured=figures_meant(reading, own)), about=about)
    alone = len(reading.sentence.keys(Named.SETUP)) < 2
    at_stock = alone and about and bool(reading.rules["tuning.held_to_stock"].search(reading.sentence.text))
    of_gain = at_stock or (about and is_of_gain(reading))
    gain = tuple(gained(reading)) if of_gain and not any(map(is_share(reading), typed.settled)) else ()
    drawn = tuple(spent(reading, typed.stretches)) if at_stock else ()
    counts = tuple(miscounted_trials(reading, own)) if about and not told.objections else ()
    return replace(
        told,
        objections=(*told.objections, *typed.objections, *(each for _, each in gain), *drawn, *counts),
        figures=typed.settled, at_stock=at_stock,
        settled=(*told.settled, *denied_harmless(reading, about=about)),
        own=(*_edges(reading, about=about), *(typed.stretches if alone else ()), *(at for at, _ in gain)),
        alone=alone and bool(typed.settled),
        met=told.met or bool(typed.settled) or at_stock,
        of=frozenset((each.setup, each.part) for each in own) if about else frozenset(),
    )  # fmt: skip


def is_share(reading: Reading) -> Callable[[Span], bool]:
    """Whether a stretch of a sentence has a share in it, as gains are told."""
    return lambda span: reading.rules["tuning.amount.per_cent"].search(reading.text(span)) is not None


def _edges(reading: Reading, *, about: bool) -> Iterator[Span]:
    """Words that speak of where a part begins to fail, and of no lead."""
    sentence = reading.sentence
    if about or any(is_of_tuning(each, reading) for each in sentence.references):
        yield from (found.span() for found in reading.rules["tuning.own_edge"].finditer(sentence.text))


def _of_trials(
    reading: Reading, claims: tuple[Claim, ...], own: tuple[Held, ...], *, about: bool
) -> TunedTold:
    """Words that no hours bear out; hours, failures and bounds that are on record of no point."""
    bare = tuple(bare_words(reading, claims, about=about or names_machine(reading)))
    if bare:
        told = refused(bare[0].span(), own, reading)
        return TunedTold(objections=(told,), settled=tuple(each.span() for each in bare), bare=True, met=True)
    further = tuple(beyond(reading, about=about or names_machine(reading)))
    if further:
        span, told = further[0]
        return TunedTold(objections=(told,), settled=(span,), bare=True, met=True)
    said = said_of_trials(reading, [held.load for held in own])
    supposed = reading.rules["tuning.supposed"].search(reading.sentence.text)
    if said.timeless and not supposed and about:
        return TunedTold(objections=(refused(said.spans[-1], own, reading),), settled=said.spans, met=True)
    if not (said.claims and (about or _names_trials(said, reading) or _ran(reading))):
        return TunedTold(settled=tuple(each.span for each in (said.clock, said.voltage) if each is not None))
    if supposed or _is_aim(said, reading) or any(said.is_of(held) for held in own):
        return TunedTold(settled=said.spans, met=True)
    return TunedTold(objections=(_otherwise(said, own, reading),), settled=said.spans, met=True)


def _is_aim(said: SaidOfTrials, reading: Reading) -> bool:
    """Whether a bound is what something is advised for, as it was asked."""
    if said.bound is None or not reading.rules["tuning.aim"].search(reading.sentence.text):
        return False
    goals = {each.goal for each in figures_meant(reading) if each.goal is not None}
    return any(said.bound.is_near(1 / goal.rate) for goal in goals)


def _ran(reading: Reading) -> bool:
    """Whether it is of something unnamed that it tells how long it ran: "it ran for 100 hours"."""
    return goes_on(reading) and reading.rules["tuning.it_ran"].search(reading.sentence.text) is not None


def _names_trials(said: SaidOfTrials, reading: Reading) -> bool:
    """Whether hours and failures stand beside what only trials have: a load, a point, a bound."""
    text, rules = reading.sentence.text, reading.rules
    bounds = said.bound is not None and (
        goes_on(reading) or any(rules[f"tuning.{each}"].search(text) for each in ("one_in", "level"))
    )
    return bool(said.loads or said.other_load or said.clock or said.voltage or bounds)


def _otherwise(said: SaidOfTrials, own: tuple[Held, ...], reading: Reading) -> Objection:
    """The bound where all the rest is so of some point, else the hours, are on record of none."""
    seen = said.hours is not None and any(replace(said, bound=None).is_of(held) for held in own)
    told = said.bound if seen or said.hours is None else said.hours
    place, excerpt = place_of(told.span if told else said.spans[0], reading)
    near = [held for held in own if held.told and (not said.loads or held.load in said.loads)]
    return Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt,
        reason=reading.rules.words("tuned_otherwise", figure=excerpt), would_stand=called(near or own),
    )  # fmt: skip
