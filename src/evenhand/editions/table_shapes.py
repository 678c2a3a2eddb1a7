"""What the tables of a data bundle hold: for each its rows, and what every column is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from evenhand.editions.snapshot import Snapshot, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How a table is made: `columns` name the key that they are read from, their type and what they hold."""

    name: str
    description: str
    rows: Callable[[Snapshot], Iterable[Table]]
    columns: tuple[tuple[str, str, str], ...]


def _verdicts(snapshot: Snapshot) -> Iterator[Table]:
    for each in snapshot.verdicts["audiences"]:
        for verdict in each["verdicts"]:
            even = verdict["break_even"] or {}
            yield verdict | {
                "audience": each["audience"]["key"], "break_even_at": even.get("at"),
                "break_even_low": even.get("low"), "break_even_high": even.get("high"),
            }  # fmt: skip


def _numbers(snapshot: Snapshot) -> Iterator[Table]:
    for run in snapshot.runs:
        for key, value in sorted(run["metrics"].items()):
            low, high = run["within_run"].get(key, (None, None))
            yield {"run": run["id"], "definition": key, "value": value, "low": low, "high": high}


def _keyed(of: str, name: str) -> Callable[[Snapshot], Iterator[Table]]:
    return lambda snapshot: ({name: key, **row} for key, row in sorted(getattr(snapshot, of).items()))


SIDES = (("a", "string", "First setup."), ("b", "string", "Second setup."))
ENDS = (
    ("outcome", "string", "What may be said of a over b: ahead, behind, level or unsettled."),
    ("ratio", "number", "a over b, better upward."),
    ("low", "number", "Lower end of the interval at `level`."),
    ("high", "number", "Upper end."),
)
BOUNDS = (
    ("bound_low", "number", "Lower end of what was held against the margin: 90 % with allowances."),
    ("bound_high", "number", "Upper end of it."),
    ("p_holm", "number", "Two-sided p, adjusted (Holm 1979)."),
)

SHAPES = (
    Shape(
        name="findings", description="Each pair of setups in each test and number.",
        rows=lambda s: s.findings["findings"],
        columns=(
            ("test", "string", "Key of the test."), ("metric", "string", "Key of the number's definition."),
            *SIDES, *ENDS, ("level", "number", "Confidence level of the interval."),
            ("n_a", "integer", "Runs of a that count."), ("n_b", "integer", "Runs of b that count."),
            ("method", "string", "How the interval was made."), *BOUNDS,
            ("headline", "boolean", "Whether it is the test's headline number."),
            ("caveats", "string", "What has to be known with it, as a JSON list."),
        ),
    ),
    Shape(
        name="indexes", description="Each pair over each group of tests, and over all.",
        rows=lambda s: s.findings["index"],
        columns=(
            ("group", "string", "The group; empty for all tests."), *SIDES, *ENDS,
            ("level", "number", "Confidence level of the interval."),
            ("predicted_low", "number", "Lower end of what one more test of the kind may show."),
            ("predicted_high", "number", "Upper end of it."),
            ("tests", "string", "Keys of its tests, as a JSON list."), *BOUNDS[:2],
        ),
    ),
    Shape(
        name="verdicts", description="Each pair for each audience.", rows=_verdicts,
        columns=(
            ("audience", "string", "Key of the audience."), *SIDES, *ENDS, *BOUNDS,
            ("value", "string", "Whose money is better spent: a, b, level or unknown."),
            ("break_even_at", "number", "Price of a in smallest units at which both are worth the same."),
            ("break_even_low", "number", "Lower end of it."), ("break_even_high", "number", "Upper end."),
            ("words", "string", "The verdict as a sentence."),
        ),
    ),
    Shape(
        name="figures", description="Everything that prose may quote.", rows=_keyed("figures", "address"),
        columns=(
            ("address", "string", "Its permanent address."), ("sort", "string", "What it is of."),
            ("value", "number", "The value."), ("low", "number", "Lower end of its interval."),
            ("high", "number", "Upper end."), ("level", "number", "Confidence level of the interval."),
            ("unit", "string", "Unit of all three."), ("n", "integer", "Runs or trials behind it."),
            ("words", "string", "As it is printed."),
            ("ranged", "string", "As it is printed with its interval."),
            ("definition", "string", "What it is."), ("source", "string", "From what it was worked out."),
            ("day", "string", "A price's day."),
            ("caution", "string", "What has to be known with it; empty where that is nothing."),
        ),
    ),
    Shape(
        name="claims", description="Each sentence that the record bears.", rows=_keyed("claims", "address"),
        columns=(
            ("address", "string", "Its permanent address."), ("words", "string", "The sentence."),
            ("kind", "string", "What it asks of the record."),
            ("rung", "integer", "How far it reaches, 1 to 5."),
            ("why", "string", "Why it stands."),
        ),
    ),
    Shape(
        name="refusals", description="Sentences that the record does not bear.", rows=lambda s: s.refusals,
        columns=(
            ("words", "string", "The sentence."), ("kind", "string", "What it asks of the record."),
            ("rung", "integer", "How far it would reach."), ("why", "string", "Why it does not stand."),
            ("instead", "string", "What would."),
        ),
    ),
    Shape(
        name="runs", description="Every run of what is compared.", rows=lambda s: s.runs,
        columns=(
            ("id", "string", "Its id."), ("label", "string", "What the reviewer calls it."),
            ("test", "string", "Key of the test."), ("setup", "string", "Key of the setup."),
            ("state", "string", "Whether it counts: landed and kept do."),
            ("reason", "string", "Why it was set aside."), ("boot", "string", "The boot it was made in."),
            ("order", "integer", "Its place in the day."), ("started_at", "string", "When it began."),
            ("ambient_c", "number", "Room, in °C."), ("wall_w", "number", "Watts at the wall."),
            ("score", "number", "Its score, where it has one."),
            ("log", "string", "SHA-256 of the log as it came."),
            ("sensors", "string", "SHA-256 of the sensor log as it came."),
        ),
    ),
    Shape(
        name="numbers", description="Every number of every run.", rows=_numbers,
        columns=(
            ("run", "string", "Id of the run."), ("definition", "string", "Key of what it means."),
            ("value", "number", "The number."),
            ("low", "number", "Lower end of its interval within the run."),
            ("high", "number", "Upper end."),
        ),
    ),
    Shape(
        name="definitions", description="What every number means.", rows=_keyed("definitions", "key"),
        columns=(
            ("key", "string", "Its key."), ("label", "string", "What readers call it."),
            ("unit", "string", "Its unit."), ("better", "string", "Which way it is better."),
            ("meaning", "string", "How it is worked out."),
        ),
    ),
    Shape(
        name="prices", description="Prices held against each other.", rows=_keyed("prices", "setup"),
        columns=(
            ("setup", "string", "Key of the setup."), ("build", "string", "Key of the build."),
            ("minor", "integer", "Price in smallest units."), ("on", "string", "The day it was asked."),
            ("note", "string", "Where it is from."),
        ),
    ),
    Shape(
        name="disclosures", description="How the reviewer stands to parts.", rows=lambda s: s.disclosures,
        columns=(
            ("part", "string", "Key of the part."), ("how", "string", "bought, loan, gift, payment or link."),
            ("by", "string", "Who lent, gave or pays."), ("note", "string", "More."),
        ),
    ),
)  # fmt: skip
