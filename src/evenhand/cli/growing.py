"""better, paths: what to buy for a budget, and what to change over the years."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from evenhand.cli.native import answers_alone
from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, progress, say, say_json, table
from evenhand.cli.stopping import STOPPED, Ended

if TYPE_CHECKING:
    from evenhand.desk.comparison.charting import Drawn
    from evenhand.desk.money.growing import Grown
    from evenhand.desk.money.searching import Further
    from evenhand.desk.money.spending import Spent

T = TypeVar("T")
FOLDER = click.Path(file_okay=False, path_type=Path)


@click.command("better")
@click.argument("study")
@click.option("--build", default="", metavar="KEY", help="The build to begin with (default: the first).")
@click.option("--audience", default="", metavar="KEY", help="For whom (default: the first).")
@click.option("--budget", default="", metavar="AMOUNT",
              help="For the whole machine (default: the study's, or what the build costs).")  # fmt: skip
@click.option("--rules", is_flag=True, help="Tell what each rule of fit costs as well; takes longer.")
@click.option("--reach", "budgets", is_flag=True, help="Tell what other budgets buy as well; takes longer.")
@click.option("--cards", type=FOLDER, default=None, help="Draw what budgets reach into this folder as well.")
@as_json
@click.pass_obj
def better(workbench: Path | None, /, study: str, cards: Path | None, as_json: bool, **asked: Any) -> None:
    """Find the best parts for a budget in a STUDY, out of all parts with offers, by what is said of them.

    Ctrl+C ends the search: what is found by then is told.

    Example: evenhand better saltmarsh --build plover --budget 1100
    """
    from evenhand.desk.money.choice_answers import better_answer
    from evenhand.desk.money.growing_cards import reach_card
    from evenhand.desk.money.searching import Further
    from evenhand.desk.money.spending import Wish, better_for, further_for
    from evenhand.desk.opening import open_desk

    with open_desk(workbench, create=False) as wb:
        tell_away(wb, study, as_json=as_json)
        wish = Wish(**asked)
        with answers_alone():
            spent = better_for(wb, study, wish)
        further, stopped = followed(
            partial(further_for, wb, spent, wish), Further(steps=1), "Searching", quiet=as_json
        )
        files = [] if cards is None or stopped else save_cards(partial(reach_card, wb, study, wish), cards)
    if as_json:
        say_json({**better_answer(spent, further, wish), "files": files})
    else:
        tell_better(spent, further)
        for file in files:
            say(file)
    if stopped:
        end_stopped(quiet=as_json)


def followed(search: Callable[..., T], nothing: T, title: str, *, quiet: bool) -> tuple[T, bool]:
    """What a search finds, its progress shown; and whether it was stopped, with what it had found by then."""
    found = [nothing]
    try:
        with progress(title, quiet=quiet) as watch, answers_alone():
            return search(watch=watch, keep=found.append), False
    except Ended:
        raise
    except KeyboardInterrupt:
        return found[-1], True


def end_stopped(*, quiet: bool) -> None:
    """Ends as a command does that was stopped."""
    if not quiet:
        click.echo("stopped; that is what was found by then", err=True)
    raise click.exceptions.Exit(STOPPED)


def save_cards(draw: Callable[..., Drawn], folder: Path) -> list[str]:
    """A card for every medium, light and dark, as SVG and PNG."""
    from evenhand.desk.comparison.charting import save_pictures
    from evenhand.desk.money.growing_cards import every_way

    with answers_alone():  # other budgets are looked at
        drawn = [draw(medium=medium, theme=theme) for medium, theme in every_way()]
    return [str(file) for file in save_pictures(drawn, folder)]


def tell_better(spent: Spent, further: Further) -> None:
    """The best, what is as good, what more would buy; or why there is none."""
    from evenhand.desk.money.grounds import left_out, stands_on
    from evenhand.publish import choice_words as words
    from evenhand.publish.money_words import amount

    grounds, found = spent.grounds, spent.found
    goods, build = grounds.goods, grounds.name(spent.build)
    money = amount(found.budget_minor, goods.currency)
    if found.unrated:
        parts = [goods.names[key] for key in found.unrated]
        say(words.unrated_words(parts, build=build, roles=goods.roles))
    elif found.out_of_time:
        say(words.OUT_OF_TIME)
    elif not found.choices:
        say(words.blame_words(found.blame, budget=money, currency=goods.currency))
    else:
        _tell_choices(spent)
        _tell_further(spent, further)
        shop = grounds.shops[spent.build]
        unpriced = words.kept_words([goods.names[key] for key in shop.unpriced_kept])
        say(" ".join(filter(None, (words.ESTIMATED, unpriced, words.alike_words(shop.alike)))))
    for left in (*stands_on(goods), *left_out(goods)):
        say(left)


def _tell_choices(spent: Spent) -> None:
    from evenhand.publish import choice_words as words
    from evenhand.publish.bound_words import ties_words
    from evenhand.publish.money_words import amount
    from evenhand.publish.numbers import capital

    grounds, found = spent.grounds, spent.found
    goods, build = grounds.goods, grounds.name(spent.build)
    say(f"For {grounds.here.audience.name}, the best within {amount(found.budget_minor, goods.currency)}:")
    for each in found.choices:
        told = words.choice_words(
            each.index, each.minor, each.new, build=build, names=goods.names, currency=goods.currency
        )
        say(f"  {capital(told)}.")
        if each.gap:
            say(f"  {words.gap_words(each.gap)}")
    if len(found.choices) > 1:
        say(ties_words(found.margin))


def _tell_further(spent: Spent, further: Further) -> None:
    """What each bound costs, and what other budgets buy."""
    from evenhand.publish import bound_words as words
    from evenhand.publish.money_words import amount
    from evenhand.publish.numbers import listed, number

    found, currency, names = spent.found, spent.grounds.goods.currency, spent.grounds.goods.names
    shares = {name: each.share for name, each in found.more.items()}
    say(words.more_words(shares, step=amount(found.step_minor, currency), watts=50))
    rooms = {key: (each.share, each.minor) for key, each in further.rooms.items()}
    for said in words.room_words(rooms, found.choices[0].minor, currency):
        say(said)
    for rule, each in sorted(further.rules.items(), key=lambda one: -one[1].share):
        if each.share > words.LEAST:
            say(words.rule_words(rule, each.share))
    rows = [
        (
            amount(each.budget_minor, currency),
            amount(each.minor, currency),
            number(each.index),
            listed(tuple(names[key] for key in each.new)) or "nothing new",
        )
        for each in further.bought
        if each.minor is not None and each.index is not None
    ]
    if rows:
        base = spent.grounds.name(spent.build)
        table(("budget", "buys a machine for", f"index, {base} = 100", "new"), rows, right=[0, 1, 2])


@click.command("paths")
@click.argument("study")
@click.option("--audience", default="", metavar="KEY", help="For whom (default: the first).")
@click.option("--cards", type=FOLDER, default=None, help="Draw how far each comes into this folder as well.")
@as_json
@click.pass_obj
def paths(workbench: Path | None, study: str, audience: str, cards: Path | None, as_json: bool) -> None:
    """Find upgrade paths of a STUDY's builds: what to hold for how long, what to change then, and its cost.

    Ctrl+C ends the search: what is found by then is told.

    Example: evenhand paths saltmarsh --json
    """
    from evenhand.desk.money.choice_answers import paths_answer
    from evenhand.desk.money.growing import nothing_grown, paths_for
    from evenhand.desk.money.growing_cards import paths_card
    from evenhand.desk.opening import open_desk

    with open_desk(workbench, create=False) as wb:
        tell_away(wb, study, as_json=as_json)
        grown, stopped = followed(
            partial(paths_for, wb, study, audience), nothing_grown(wb, study, audience), "Searching",
            quiet=as_json,
        )  # fmt: skip
        whole = not stopped
        files = save_cards(partial(paths_card, wb, study, audience), cards) if cards and whole else []
    if as_json:
        say_json({**paths_answer(grown), "files": files})
    else:
        tell_paths(grown)
        for file in files:
            say(file)
    if stopped:
        end_stopped(quiet=as_json)


def tell_paths(grown: Grown) -> None:
    """How far each build comes, how they stand to each other, and every path that no other beats."""
    from evenhand.desk.money.courses import furthest, orders
    from evenhand.money.courses import SWING
    from evenhand.publish import path_words as words

    grounds, found = grown.grounds, grown.found
    names, months = grounds.goods.names, grounds.terms.horizon_months
    if found.circles:
        say(words.circle_words(names[each.part] for each in found.circles))
        return
    if found.unfinished:
        say(words.unfinished_words([grounds.name(build) for build in found.unfinished]))
    currency = grounds.goods.currency
    for build, own in found.of_builds.items():
        course = furthest(own)
        if course is not None:
            told = words.story(grounds.shops[build].own, course, names=names, months=months)
            say(f"{grounds.name(build)}: {told} {words.course_numbers(course, currency)}.")
    for one, other, hold in orders(found, margin=grounds.record.study.margin):
        say(words.hold_words(grounds.name(one.start), grounds.name(other.start), hold, swing=SWING))
    _tell_grounds(grown)
    rows = [
        (
            grounds.name(each.start), words.course_numbers(each, currency),
            words.story(grounds.shops[each.start].own, each, names=names, months=months),
        )
        for each in found.courses
    ]  # fmt: skip
    if rows:
        say()
        table(("from", "what it comes to", "path that no other one beats"), rows)


def _tell_grounds(grown: Grown) -> None:
    """What paths stand on, and which builds none begins with."""
    from evenhand.desk.money.grounds import left_out, stands_on
    from evenhand.publish import path_words as words

    grounds, found = grown.grounds, grown.found
    names = grounds.goods.names
    say(words.assumed_words(grounds.terms.resale, grounds.terms.fall))
    for left in (*stands_on(grounds.goods), *left_out(grounds.goods)):
        say(left)
    say("Indexes of changed machines add up what is said of each part by itself: measure before you promise.")
    for build, parts in found.left_out.items():
        say(words.left_words(grounds.name(build), [names[key] for key in parts]))
    for build in found.unmeasured:
        say(words.unmeasured_words(grounds.name(build)))
    for build in grown.unpriced:
        say(f"{grounds.name(build)} has no price, so no path begins with it.")


COMMANDS = (better, paths)
