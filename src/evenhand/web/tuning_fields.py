"""Forms of the tuning page: a tuned part, a limit of its maker, a trial; read field by field."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from secrets import token_hex

from starlette.datastructures import FormData

from evenhand.desk.pages.tuning import TuningPage
from evenhand.records.trials import Meter, Outcome, Quantity, Tuned
from evenhand.web.forms import Reader, Reading, typed

Values = Mapping[str, str | tuple[str, ...]]

QUANTITIES = tuple((each.value, f"{each.value.capitalize()}, in {each.unit}") for each in Quantity)
OUTCOMES = tuple((each.value, each.value.capitalize(), each.meaning) for each in Outcome)
METERS = (("", "Not read"), (Meter.WALL.value, "The wall"), (Meter.PART.value, "The part itself"))
MAKERS, OWN = "maker", "own"
WHOSE = (
    ("", "Choose"),
    (MAKERS, "The maker’s, from its own data sheet or page"),
    (OWN, "Our own, wherever it is from"),
)
NOT_SAID = "Nothing stands here; choose whether the maker wrote it, or whether it is your own."
NOT_MAKERS = "It begins with “ourselves”: choose that it is your own."
OURSELVES = "ourselves"
NONE_COUNTED = "it ended with an error and none was counted: it counts as one failure"
KINDS = ("processor", "graphics", "memory")
"""What is tuned most; any kind that the build has can be written."""


def part_values(page: TuningPage) -> Values:
    """A part that is to be noted: of the first setup; which one is open where another is on record."""
    return {
        "setup": page.setups[0][0] if page.setups else "",
        "part": KINDS[0] if page.part is None else "",
    }


def stock_values(tuned: Tuned) -> Values:
    """A part as it is on record."""
    return {
        "setup": tuned.setup, "part": tuned.part, "stock_clock_mhz": f"{tuned.stock_clock_mhz:g}",
        "stock_voltage_mv": _shown(tuned.stock_voltage_mv), "clock_step_mhz": f"{tuned.clock_step_mhz:g}",
        "voltage_step_mv": f"{tuned.voltage_step_mv:g}", "hottest_room_c": _shown(tuned.hottest_room_c),
        "offset": ("yes",) if tuned.offset else (),
    }  # fmt: skip


def limit_values(today: date) -> Values:
    """A limit of the voltage, read today."""
    return {"quantity": Quantity.VOLTAGE.value, "read_on": today.isoformat()}


def trial_values(page: TuningPage, today: date) -> Values:
    """The trial that comes next, made today, with a key of its own: sent twice it is one trial.

    Hours that are planned are not: whoever notes a trial of another point would have planned what nobody did.
    Nor is how it ended: a pass that nobody chose would fool everybody.
    """
    part = page.part
    values = {
        "key": f"page-{token_hex(8)}",
        "load": part.load if part else "",
        "at": today.isoformat(),
    }
    if part is None or part.next is None:
        return values
    following = part.next
    return values | {"clock_mhz": f"{following.clock_mhz:g}", "voltage_mv": f"{following.voltage_mv:g}"}


def read_part(sent: FormData) -> Reading:
    """What was typed of a part."""
    reader = Reader(sent)
    return reader.done(
        setup=reader.text("setup"), part=reader.text("part"),
        stock_clock_mhz=reader.number("stock_clock_mhz", "MHz"),
        stock_voltage_mv=reader.number("stock_voltage_mv", "mV"),
        clock_step_mhz=reader.number("clock_step_mhz", "MHz"),
        voltage_step_mv=reader.number("voltage_step_mv", "mV"),
        hottest_room_c=reader.number("hottest_room_c", "°C"), offset=typed(sent, "offset") == "yes",
    )  # fmt: skip


def read_limit(sent: FormData) -> Reading:
    """What was typed of a limit."""
    reader = Reader(sent)
    whose, source = reader.text("whose"), reader.text("source")
    if whose not in (MAKERS, OWN):
        reader.errors["whose"] = NOT_SAID
    elif whose == MAKERS and source.casefold().startswith(OURSELVES):
        reader.errors["whose"] = NOT_MAKERS
    elif whose == OWN and source and not source.casefold().startswith(OURSELVES):
        source = f"{OURSELVES}: {source}"
    return reader.done(
        quantity=reader.text("quantity"), most=reader.number("most"), source=source,
        read_on=reader.words("read_on"),
    )  # fmt: skip


def read_trial(sent: FormData, setup: str, part: str) -> Reading:
    """What was typed of a trial; hours and minutes are one time."""
    reader = Reader(sent)
    hours, minutes = reader.number("hours", "h"), reader.number("minutes", "min")
    whole = None if hours is None and minutes is None else (hours or 0.0) + (minutes or 0.0) / 60
    errors, corrected = reader.number("errors"), reader.number("corrected")
    return reader.done(
        setup=setup, part=part, clock_mhz=reader.number("clock_mhz", "MHz"),
        voltage_mv=reader.number("voltage_mv", "mV"), load=reader.text("load"), hours=whole,
        outcome=reader.text("outcome"), planned_h=reader.number("planned_h", "h"),
        found_after_h=reader.number("found_after_h", "h"), errors=_count(errors),
        corrected=_count(corrected),
        room_c=reader.number("room_c", "°C"), hottest_c=reader.number("hottest_c", "°C"),
        watts=reader.number("watts", "W"), watts_at=reader.words("watts_at"),
        at=_moment(reader), settings=reader.rows("settings"), note=reader.text("note"),
        key=reader.text("key"),
    )  # fmt: skip


def uncounted(sent: FormData) -> str:
    """What is asked of a trial that ended with an error though no error is typed beside it; "" elsewhere."""
    said_so = typed(sent, "outcome") == Outcome.ERROR.value and typed(sent, "errors").strip() == "0"
    return NONE_COUNTED if said_so else ""


def _moment(reader: Reader) -> datetime | None:
    """A day, or a day and a time, by this computer's clock where no time zone stands with it."""
    text = reader.text("at")
    if not text:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        reader.errors["at"] = f"\u2018{text}\u2019 is no day; write it as 2031-05-04, or as 2031-05-04 10:40."
        return None
    return found if found.tzinfo else found.astimezone()


def _count(value: float | None) -> float:
    """A count as it was typed; 0 where nothing stands there."""
    if value is None:
        return 0
    return int(value) if value.is_integer() else value


def _shown(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
