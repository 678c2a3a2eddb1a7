"""audience: for whom a verdict is, and what counts for them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk


def pairs(_context: click.Context, option: click.Parameter, given: tuple[str, ...]) -> dict[str, float]:
    """NAME=NUMBER, as often as it was given. Raises BadParameter."""
    found = {}
    for each in given:
        name, sign, written = each.rpartition("=")
        try:
            found[name.strip()] = float(written)
        except ValueError:
            sign = ""
        if not (sign and name.strip()):
            raise click.BadParameter(f"'{each}' is not NAME=NUMBER, as in {option.metavar}.")
    return found


def span(_context: click.Context, option: click.Parameter, given: str | None) -> list[str] | None:
    """LOW..HIGH or one value for both, as they were written; None where nothing was. Raises BadParameter."""
    if given is None:
        return None
    ends = [each.strip() for each in given.split("..")]
    if len(ends) > 2 or not all(ends):
        raise click.BadParameter(f"'{given}' is not LOW..HIGH, as in {option.metavar}.")
    return ends * 2 if len(ends) == 1 else ends


def hours_span(context: click.Context, option: click.Parameter, given: str | None) -> list[float] | None:
    """The same in numbers. Raises BadParameter."""
    try:
        ends = span(context, option, given)
        return None if ends is None else [float(end) for end in ends]
    except ValueError:
        raise click.BadParameter(f"'{given}' is not LOW..HIGH, as in {option.metavar}.") from None


@click.command("audience")
@click.argument("study")
@click.argument("key")
@click.option("--name", default=None, help="What they are called; of a new one needed.")
@click.option("--told", default=None, help="Who they are, in words.")
@click.option("--group", "groups", multiple=True, callback=pairs, metavar="games=80",
              help="A weight for a group of tests; may be repeated.")  # fmt: skip
@click.option("--test", "tests", multiple=True, callback=pairs, metavar="render=20",
              help="A weight for one test, which goes before its group; may be repeated.")  # fmt: skip
@click.option("--property", "properties", multiple=True, callback=pairs, metavar="speed=3",
              help="A weight for speed, lows, power, noise or price; may be repeated.")  # fmt: skip
@click.option(
    "--fixed", default=None, help="What they must buy with any build, in the study's currency; 0 for nothing."
)
@click.option("--hours", "hours_a_year", callback=hours_span, metavar="900..1500",
              help="Hours a year at the load of these tests, or one number; 0 for not known.")  # fmt: skip
@click.option("--tariff", callback=span, metavar="0.28..0.36",
              help="What a kilowatt-hour costs them, in the study's currency; 0 for not known.")  # fmt: skip
@click.option("--remove", is_flag=True, help="Take this audience out of the study.")
@as_json
@click.pass_obj
def audience(
    workbench: Path | None, /, study: str, key: str, remove: bool, as_json: bool, **given: Any
) -> None:
    """Say for whom the verdict of a STUDY is: an audience by its KEY, new or changed.

    Weights are read as shares of their sum. What is not given stays; of groups, tests and properties each is
    one list, given whole. With nothing given, the audience is shown. `evenhand history` tells each change.

    Example: evenhand audience saltmarsh mostly-play --name "Mostly play" --group games=80 --group work=20
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study import for_whom
    from evenhand.desk.study.on_shelf import study_called
    from evenhand.desk.study.worth_answers import audience_answer

    said = {name: value for name, value in given.items() if value not in (None, {})}
    if remove and said:
        raise click.UsageError("--remove takes the audience out: give nothing else with it.")
    with open_desk(workbench, create=False) as wb:
        change = 0
        if remove:
            change = for_whom.drop_audience(wb, study, key, now=present()).change
        elif said:
            table = {**stands_as(wb, study, key), **said}
            for name, nothing in (("fixed", "0"), ("hours_a_year", [0.0, 0.0]), ("tariff", ["0", "0"])):
                table[name] = None if table.get(name) == nothing else table.get(name)
            change = for_whom.put_audience(wb, study, key, table, now=present()).change
        else:
            tell_away(wb, study, as_json=as_json)
            for_whom.audience_called(study_called(wb, study), key)
        answer = audience_answer(wb, study, key, change)
    if as_json:
        say_json(answer)
    else:
        tell_audience(answer)


def stands_as(wb: Desk, study: str, key: str) -> dict[str, object]:
    """An audience as it is on record; nothing of one that is new."""
    from evenhand.desk.study import for_whom
    from evenhand.desk.study.on_shelf import study_called

    record = study_called(wb, study)
    known = any(each.key == key for each in record.audiences)
    return for_whom.as_given(record, key) if known else {}


def tell_audience(answer: dict[str, Any]) -> None:
    """An audience and what its weights say, or that it is out."""
    from evenhand.publish.worth_words import share_words

    told = answer["audience"]
    if told is None:
        say(f"{answer['key']} is out of {answer['study']}; what was called for it stays in history.")
        return
    say(f"{told['name']}{': ' + told['told'] if told['told'] else ''}")
    weighed = share_words({**told["groups"], **told["tests"]})
    say(f"  {_listed(weighed, answer['rescaled'].get('tests'))}")
    asked = share_words(told.get("properties", {}))
    say(f"  of each: {_listed(asked, answer['rescaled'].get('properties'))}")
    if told["fixed"]:
        say(f"  must buy besides: {told['fixed']}")
    for name, words in (("hours_a_year", "hours a year at this load"), ("tariff", "a kilowatt-hour")):
        if told[name]:
            ends = told[name] if isinstance(told[name], list) else [told[name]]
            say(f"  {words}: {' to '.join(f'{end:g}' if isinstance(end, float) else end for end in ends)}")
    say(f"Next: evenhand verdict {answer['study']} --audience {answer['key']}")


def _listed(shares: dict[str, str], rescaled: str | None) -> str:
    told = [f"{name} {share}" for name, share in shares.items()]
    return ", ".join([*told, rescaled] if rescaled else told)


COMMANDS = (audience,)
