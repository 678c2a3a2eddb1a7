"""verdict: for whom a study's setups stand how, what the money says, and what would flip it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.comparing import part
from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.on_record import StudyOnRecord
    from evenhand.desk.verdict.claims_answers import Told
    from evenhand.desk.verdict.judged import ForAudience, Judgement
    from evenhand.verdicts.moves import Flip


@click.command("verdict")
@click.argument("study")
@click.option("--audience", default=None, help="Only this audience, by its key.")
@click.option("--two", is_flag=True, help="Also what two changes together would flip.")
@as_json
@click.pass_obj
def verdict(workbench: Path | None, study: str, audience: str | None, two: bool, as_json: bool) -> None:
    """Say for each audience of a STUDY how its setups stand, and the smallest change that flips it.

    Example: evenhand verdict saltmarsh --audience mostly-play
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.comparison.other_evidence import other_evidence
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.verdict import judged_for
    from evenhand.desk.verdict.claims_answers import beside_lines, claims_answer, claims_told, power_answer
    from evenhand.desk.verdict.verdict_answers import judgement_answer

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        record = load_study(wb, study)
        found = judged_for.judged_for(wb, record, only=audience)
        together = {
            each.audience.key: judged_for.two_at_once(wb, record, each) if two else ()
            for each in found.audiences
        }
        claims, power = claims_told(wb, record, found), other_evidence(wb, record).power
    if as_json:
        answer = judgement_answer(found, record, together if two else None)
        say_json(answer | {"power": power_answer(power), "claims": claims_answer(claims)})
        return
    tell_prices(found)
    for one in found.audiences:
        tell_audience(one, (found, claims), record, together[one.audience.key])
    part("What else was measured", beside_lines(claims, found.names))


def tell_prices(found: Judgement) -> None:
    """What every setup costs and when that was asked, or what is lacking."""
    from evenhand.publish.verdict_words import prices_words

    for line in prices_words(found.paid, found.names):
        say(line)


def tell_audience(
    one: ForAudience, told: tuple[Judgement, Told], record: StudyOnRecord, two: tuple[Flip, ...]
) -> None:
    """What counts for an audience, how each pair stands, how far that reaches, and what would flip it."""
    from evenhand.publish.among_words import among_words, of_all_words
    from evenhand.publish.front_words import why_first
    from evenhand.publish.verdict_words import weighing_words

    found, claims = told
    say()
    said = f": {one.audience.told}" if one.audience.told else ""
    say(f"{one.audience.name}{said} ({weighing_words(one.audience, found.names)})")
    if one.trouble is not None:
        say(f"  No verdict: {one.trouble}")
        return
    if one.among is not None:
        say(f"  {of_all_words(one.among)}: {among_words(one.among, found.names)}.")
    if one.front is not None:
        say(f"  {why_first(one.front, found.names)}")
    for line in pair_lines(one, found, record, claims):
        say(f"  {line}")
    part("  What would flip it", flip_lines(one, one.flips, found, record))
    if two:
        part("  What two changes together would flip", flip_lines(one, two, found, record))


def pair_lines(one: ForAudience, found: Judgement, record: StudyOnRecord, claims: Told) -> Iterator[str]:
    """Each pair: how it stands, what it is worth, how firmly, with its reservations, and on which rung."""
    from evenhand.publish.doubt_words import but_doubted
    from evenhand.publish.flip_words import leans_words
    from evenhand.publish.money_words import no_worth_words, worth_words
    from evenhand.publish.numbers import capital
    from evenhand.publish.unmeasured_words import blind_words, but_unmeasured, further_caveats
    from evenhand.publish.verdict_words import buy_words, chance_words, no_verdict_words

    names, currency = found.names, found.paid.currency
    for each in one.front_first:
        stands = f"{buy_words(each, names, margin=record.study.margin, currency=currency)}."
        lacks = but_unmeasured([(one.audience, each)], names)
        lacks = (blind_words(each, names),) if each.is_blind else lacks
        yield " ".join((stands, *lacks, *but_doubted(each.caveats, names)))
        priced = currency if each.prices else None
        told = [worth_words(each, names, priced) or no_worth_words(each)] if priced else []
        told.append(chance_words(one.wobbles.get((each.a, each.b)), each, names))
        told += [f"{capital(caveat.told(names.setup, names.test))}." for caveat in further_caveats(each)]
        told.append("" if each.is_blind else leans_words(one.flips, (each.a, each.b), names))
        own = claims[one.audience.key, each.a, each.b]
        told += [f"{own.heading}.", own.causes]
        yield from (f"  {line}" for line in told if line)
    for pair in one.case.pairs:
        if one.verdict(pair.a, pair.b) is None:
            own = claims[one.audience.key, pair.a, pair.b]
            yield from no_verdict_words(pair, one.audience, names)
            yield from (f"  {line}" for line in (f"{own.heading}.", own.apart) if line)


def flip_lines(
    one: ForAudience, flips: tuple[Flip, ...], found: Judgement, record: StudyOnRecord
) -> Iterator[str]:
    """Changes as sentences, pair by pair; how many more there are of each."""
    from evenhand.desk.pages.verdict_rows import MOST_FLIPS, by_change, telling_flips
    from evenhand.publish.flip_words import flip_sentence
    from evenhand.publish.numbers import count_word
    from evenhand.publish.tried_words import nothing_turns

    names, runs = found.names, {each.run.id: each.run.label for each in record.runs}
    for each in one.front_first:
        pair = each.a, each.b
        own = by_change(telling_flips(flips, pair))
        if len(one.verdicts) > 1:
            yield f"  {names.setup(pair[0])} and {names.setup(pair[1])}:"
        if not own:
            yield f"    {nothing_turns(one.tried.get(pair, frozenset()), value=each.says_value)}"
        for flip, *also in own[:MOST_FLIPS]:
            yield f"    {flip_sentence(flip, names, currency=found.paid.currency, runs=runs, also=also)}"
        if len(own) > MOST_FLIPS:
            yield f"    And {count_word(len(own) - MOST_FLIPS)} more, larger; --json has all."


COMMANDS = (verdict,)
