"""publish, editions, moved, disclose, disclosures: what goes out, and what moved since."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.showing import as_json, progress, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.publication.publishing import Published
    from evenhand.desk.publication.touching import Ripple
    from evenhand.editions.moved import Move

BY = "this computer"
MOST_MOVES = 40  # told one by one; --json tells all
HOW = click.Choice(["bought", "loan", "gift", "payment", "link"])


@click.command("publish")
@click.argument("study")
@click.option("--reason", default="", help="Why there is another edition; needed from the second on.")
@click.option("--mask", "masking", multiple=True, metavar="WORD",
              help="A word that may not go out with the logs, a serial or a name; repeatable.")  # fmt: skip
@click.option("--as-it-is", "override", default="", metavar="WHY",
              help="Let the script go out though something is objected to; the edition says so.")  # fmt: skip
@click.option("--pair", "pairs", nargs=2, multiple=True, metavar="A B",
              help="Cards of these two setups, and of those that the script shows; repeatable.")  # fmt: skip
@as_json
@click.pass_obj
def publish(workbench: Path | None, /, study: str, *, as_json: bool, **said: Any) -> None:
    """Freeze what a STUDY says as its next edition. A published number never changes.

    Findings, verdicts, sentences, prices, definitions, runs with the hashes of their logs, and the script go
    in. Where nothing moved since the last edition, that one stands.

    Example: evenhand publish saltmarsh --reason "Dunlin costs less since Tuesday"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.publication import publication_answers as answers
    from evenhand.desk.publication.publishing import Told, publish

    told = Told(by=BY, **said)
    with open_desk(workbench, create=False) as wb, progress("Freezing", quiet=as_json):
        made = publish(wb, study, told, now=present())
    if as_json:
        say_json(answers.published_answer(made))
    else:
        tell_published(made)


def tell_published(made: Published) -> None:
    """What it cannot say first; then the edition, and what moved since the one before."""
    if made.untold:
        say("The script has no word of what readers are owed:")
    for each in made.untold:
        say(f"  {each}")
    if made.undrawn:
        say("The cards cannot write out every name; article, texts and narration keep them all:")
    for each in made.undrawn:
        say(f"  {each}")
    number, at = made.edition.number, f"{made.edition.at:%Y-%m-%d %H:%M} UTC"
    if made.again:
        say(f"Nothing moved since edition {number} of {at}; that stands.")
        return
    say(f"Edition {number} of {made.edition.study} is frozen, {at}.")
    tell_moves(made.moves, since=number - 1)


@click.command("editions")
@click.argument("study")
@as_json
@click.pass_obj
def editions(workbench: Path | None, study: str, as_json: bool) -> None:
    """List the editions of a STUDY: when each went out, and why there was another.

    Example: evenhand editions saltmarsh
    """
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication import publication_answers as answers
    from evenhand.desk.publication.publishing import digest_of, editions_of

    with open_desk(workbench, create=False) as wb:
        known = editions_of(wb, study)
        measured = bool(load_study(wb, study).compared_runs)
    if as_json:
        say_json({"study": study, "editions": [answers.edition_answer(each) for each in known]})
    elif known:
        rows = [(str(e.number), f"{e.at:%Y-%m-%d %H:%M}", digest_of(e)[:12], e.reason) for e in known]
        table(("edition", "out (UTC)", "digest", "why"), rows, right=[0])
    else:
        first = "" if measured else "bring its runs in, then "
        say(f"Nothing of {study} was published yet. Next: {first}evenhand publish {study}")


@click.command("moved")
@click.argument("study")
@click.argument("number", type=int, required=False)
@as_json
@click.pass_obj
def moved(workbench: Path | None, study: str, number: int | None, as_json: bool) -> None:
    """Tell what moved since an edition of a STUDY, the last one or that of this NUMBER: causes first.

    Then what it touches: chapters of the script with their time codes, and cards.

    Example: evenhand moved saltmarsh
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication import publication_answers as answers
    from evenhand.desk.publication.touching import ripple

    with open_desk(workbench, create=False) as wb:
        found = ripple(wb, study, number)
    if as_json:
        say_json(answers.ripple_answer(found))
        return
    if not found.moves:
        say(f"Nothing moved since edition {found.edition.number}.")
    tell_moves(found.moves, since=found.edition.number)
    tell_touched(found)


def tell_touched(found: Ripple) -> None:
    """Which chapters and cards of an edition a change touches, with when they are said and shown."""
    from evenhand.prose.timing import time_code
    from evenhand.publish.numbers import capital

    if found.figures:
        say("The script says otherwise:")
    for each in found.figures:
        place = f"{time_code(each.start_s)} {each.chapter}".strip()
        say(f"  {place}, line {each.line}, {{{each.address}}}: {each.before} → {each.after or 'no more'}")
    if found.sentences:
        say("Sentences of the script:")
    for sentence in found.sentences:
        place = f"{time_code(sentence.start_s)} {sentence.chapter}".strip()
        say(f"  {place}, line {sentence.line}: “{sentence.words}”")
        say(f"    {capital(sentence.told)}")
        if sentence.would_stand:
            say(f"    What would stand: {sentence.would_stand}")
    if found.cards:
        say("Cards that would look otherwise:")
    for card in found.cards:
        say(f"  {card.words}")


def tell_moves(moves: Sequence[Move], *, since: int) -> None:
    """What moved, as it was and as it is; what no reader can see, or only tells other days, is counted."""
    from evenhand.editions.moved import REWORDED

    if tuple(moves) == (REWORDED,):
        say(f"Since edition {since} {REWORDED.after}.")
        return
    seen = [each for each in moves if each.in_print and not each.only_days]
    dated = sum(each.only_days for each in moves)
    if seen:
        say(f"Moved since edition {since}:")
    for each in seen[:MOST_MOVES]:
        say(f"  {each.of}, {each.name}: {each.before or 'not there'} → {each.after or 'no more'}")
    if len(seen) > MOST_MOVES:
        say(f"  and {len(seen) - MOST_MOVES} more; --json tells all.")
    if dated:
        say(f"  {dated} {'sentence tells' if dated == 1 else 'sentences tell'} other days of prices alone.")
    if len(seen) + dated < len(moves):
        say(f"  {len(moves) - len(seen) - dated} figures moved by less than what is printed.")


@click.command("disclose")
@click.argument("part")
@click.argument("how", type=HOW)
@click.option("--by", default="", help="Who lent, gave or pays.")
@click.option("--note", default="", help="More, in your own words.")
@click.option("--take-back", is_flag=True, help="It holds no more; it stays on record.")
@as_json
@click.pass_obj
def disclose(
    workbench: Path | None, part: str, how: str, by: str, note: str, take_back: bool, as_json: bool
) -> None:
    """Put down how you stand to a PART: bought, on loan, a gift, a payment, or a link that pays.

    Advertising rules are local, and this is no legal advice.

    Example: evenhand disclose harrowfen-lantern-40 loan --by "Harrowfen" --note "back in March"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study.disclosing import disclose, take_disclosure_back
    from evenhand.records.publications import How

    with open_desk(workbench, create=False) as wb:
        if take_back:
            said = take_disclosure_back(wb, part, How(how), note=note, now=present())
        else:
            said = disclose(wb, part, How(how), by=by, note=note, now=present())
    if as_json:
        say_json({"part": part, "how": how, "by": said.by, "note": said.note, "stands": said.stands})
    else:
        told = said.how.meaning + (f" ({said.by})" if said.by else "")
        say(f"{part}: {told}, {'on record' if said.stands else 'taken back'}.")


@click.command("disclosures")
@click.argument("study")
@as_json
@click.pass_obj
def disclosures(workbench: Path | None, study: str, as_json: bool) -> None:
    """List the parts of a STUDY, and how you stand to each.

    Example: evenhand disclosures saltmarsh
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.study.disclosing import disclosed

    with open_desk(workbench, create=False) as wb:
        known = disclosed(wb, study)
    if as_json:
        rows = [
            {"part": d.part.key, "name": d.part.name, "how": s.how.value, "by": s.by, "note": s.note}
            for d in known for s in d.said
        ]  # fmt: skip
        unsaid = [d.part.key for d in known if not d.said]
        say_json({"study": study, "disclosures": rows, "nothing_said": unsaid})
        return
    for each in known:
        said = "; ".join(f"{s.how.meaning}{f' ({s.by})' if s.by else ''}" for s in each.said)
        say(f"{each.part.key}, {each.part.name}: {said or 'nothing said yet'}")


@click.command("due")
@click.argument("study")
@as_json
@click.pass_obj
def due(workbench: Path | None, study: str, as_json: bool) -> None:
    """Tell what of a STUDY is due for a fresh look: old prices, and verdicts that a small step would turn.

    Example: evenhand due saltmarsh
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.verdict.due import due

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        known = due(wb, study, today=present().date())
    if as_json:
        rows = [{"sort": each.sort.value, "audience": each.audience, "words": each.words} for each in known]
        say_json({"study": study, "due": rows})
        return
    if not known:
        say("Nothing is due.")
    for each in known:
        say(each.words)


COMMANDS = (publish, editions, moved, due, disclose, disclosures)
