"""plan: lay out bench days in balanced blocks, see how a plan stands, plan the rest anew."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.bench.plan_standing import PlanNow
    from evenhand.desk.on_record import StudyOnRecord
    from evenhand.plans.outlook import Outlook


@click.command("plan")
@click.argument("study")
@click.option("--looks", metavar="RUNS", help="Runs of each at which results are looked at (3,5,8).")
@click.option("--at-once", type=click.IntRange(1, 8), help="Rigs that run at the same time (1).")
@click.option("--warm-up", type=click.FloatRange(0, 120), help="Minutes of warm-up before a run (2).")
@click.option("--reboot", type=click.FloatRange(0, 120), help="Minutes that a restart takes (4).")
@click.option("--day", type=click.FloatRange(0.5, 24), help="Hours of a bench day (6).")
@click.option(
    "--seed", type=click.IntRange(0), default=1, help="Draws the order; the same again gives the same."
)
@click.option("--make", is_flag=True, help="Put the plan on record; without it, it is only shown.")
@click.option("--again", is_flag=True, help="Lay the rest of the standing plan out anew.")
@click.option("--without", multiple=True, metavar="BUILD", help="With --again: a rig that dropped out.")
@as_json
@click.pass_obj
def plan(
    workbench: Path | None, /, study: str, *, looks: str | None, seed: int, make: bool, again: bool,
    without: tuple[str, ...], as_json: bool, **pace: float | None,
) -> None:  # fmt: skip
    """Plan the bench days of a STUDY in balanced blocks, or show how its plan stands.

    Example: evenhand plan saltmarsh --looks 3,5,8 --make
    """
    from evenhand.desk.bench.hiding import as_told, names_hidden
    from evenhand.desk.bench.outlooks import outlook_of
    from evenhand.desk.bench.plan_answers import plan_answer
    from evenhand.desk.bench.plan_needs import terms_from
    from evenhand.desk.bench.planning import make_plan, plan_now, preview, replan
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk, present

    refuse_unclear(make=make, again=again, without=without)
    numbers = {name: float(value) for name, value in pace.items() if value is not None}
    terms, now = terms_from(looks or "3,5,8", numbers), present()
    with open_desk(workbench, create=False) as wb:
        if again:
            replan(wb, study, seed=seed, now=now, without=without)
        elif make:
            make_plan(wb, study, terms, seed=seed, now=now)
        record = load_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        standing = None if (looks or numbers) and not make else plan_now(wb, study, record=record)
        standing = standing or preview(record, terms, seed=seed, now=now)
        seen = outlook_of(wb, record, standing.live.looks)
        hidden, standing = names_hidden(record), as_told(record, standing)
    if as_json:
        say_json(plan_answer(standing, seen, hidden=hidden))
        return
    tell(record, standing, seen)


def refuse_unclear(*, make: bool, again: bool, without: tuple[str, ...]) -> None:
    """Raises UsageError where options do not go together."""
    if again and make:
        raise click.UsageError("--make begins a plan, --again goes on with one: give one of them.")
    if without and not again:
        raise click.UsageError("--without goes with --again.")


def tell(record: StudyOnRecord, standing: PlanNow, seen: Outlook) -> None:
    """The answer first; then what each test will show, and the runs in order."""
    from evenhand.desk.bench.hiding import names_hidden
    from evenhand.desk.names import names_of
    from evenhand.desk.pages.plan_words import answer_of, lead_of, odd_words, said_of

    names = names_of(record)
    say(answer_of(standing, seen, saved=standing.plan.id > 0))
    say(lead_of(standing))
    for line in said_of(record, standing):
        say(line)
    say()
    needed = [(t, "more than 60" if t.runs_needed is None else str(t.runs_needed)) for t in seen.tests]
    table(
        ["test", "runs apart by", "from", "95 % in the end", "runs to see it"],
        [[names.test(t.test), f"{100 * t.expected.scatter.sd:.1f} %", t.expected.source.value,
          f"± {100 * t.half:.1f} %", runs] for t, runs in needed],
        right=(1, 3, 4),
    )  # fmt: skip
    for test in seen.tests:
        odd = odd_words(record, test.expected, hidden=names_hidden(record))
        if odd:
            say(f"{names.test(test.test)}: {odd}.")
    say()
    table(
        ["run", "day", "block", "boot", "test", "setup", "min", "state"],
        [[str(standing.place(e.slot.number)), str(e.slot.day), str(e.slot.block), e.slot.boot,
          names.test(e.slot.test), names.setup(e.slot.setup) if e.slot.boot else "a build",
          f"{e.slot.minutes:.0f}",
          e.state.value + (f": {e.why}" if e.why else "")] for e in standing.slots],
        right=(0, 1, 2, 6),
    )  # fmt: skip
    if not standing.plan.id:
        say("Only shown. Put it on record with --make.")


COMMANDS = (plan,)
