"""The fields of a study's brief and of its tests: out of records into forms, and what was sent back again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from starlette.datastructures import FormData

from evenhand.desk.pages.brief import metric_choices
from evenhand.desk.study.checking import FieldProblem
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Script, Test
from evenhand.web.forms import Form, Reader, Reading

Values = dict[str, str | tuple[str, ...]]

# Where a field of the record is filled in by several fields of the form, an error stands at the first.
FROM = "other"  # the box that adds the other number of a frame test
SHOWN_AT: Mapping[str, str] = {
    "ambient_c": "ambient_low",
    "also": FROM,
    "script": "script_score",
    "currency": "symbol",
    **dict.fromkeys(("key", "tests", "setups", "weights", "audiences"), ""),
}


def plain(value: float | None, factor: float = 1.0) -> str:
    """A number as it stands in a field."""
    return "" if value is None else f"{value * factor:.12g}"


def study_values(study: Study) -> Values:
    """What stands in the fields of the question and of the terms."""
    low, high = study.ambient_c or (None, None)
    weights = {f"weight-{key}": plain(study.weights.get(key)) for key in study.tests}
    return {
        "question": study.question,
        "title": study.title,
        "audience": study.audience,
        "budget": study.budget,
        "margin": plain(study.margin, 100),
        "boot_allowance": plain(study.boot_allowance, 100),
        "ambient_low": plain(low),
        "ambient_high": plain(high),
        "symbol": study.currency.symbol if study.currency else "",
        "decimals": plain(study.currency.decimals) if study.currency else "2",
        **weights,
    }


def read_question(sent: FormData) -> Reading:
    """The question, for whom, and what may be spent."""
    reader = Reader(sent)
    return reader.done(**{name: reader.text(name) for name in ("question", "title", "audience", "budget")})


def read_terms(sent: FormData) -> Reading:
    """The margin and the other limits, which are written in percent and °C."""
    reader = Reader(sent)
    shares: dict[str, float | None] = {}
    for name, what in (("margin", "margin"), ("boot_allowance", "allowance")):
        value = reader.number(name, "%")
        shares[name] = None if value is None else round(value / 100, 12)
        if not reader.text(name):
            reader.errors[name] = f"The {what} is empty; write it in percent."
    room = [reader.number("ambient_low", "°C"), reader.number("ambient_high", "°C")]
    known = [value for value in room if value is not None]
    return reader.done(**shares, ambient_c=known or None)


def read_weights(sent: FormData) -> Reading:
    """A weight for each test; an empty one is the usual one."""
    reader = Reader(sent)
    names = [name.removeprefix("weight-") for name in sent if name.startswith("weight-")]
    weights = {key: reader.number(f"weight-{key}") for key in names}
    for key, weight in weights.items():
        if weight is not None and weight < 0:
            reader.errors[f"weight-{key}"] = "A weight must be 0 or more; 0 leaves the test out of the index."
    return reader.done(weights={key: weight for key, weight in weights.items() if weight is not None})


def read_currency(sent: FormData) -> Reading:
    """The currency in which the study counts; an empty sign is none."""
    reader = Reader(sent)
    symbol, decimals = reader.text("symbol"), reader.number("decimals")
    if not symbol:
        return reader.done(currency=None)
    if len(symbol) > 8 or any(c.isdigit() or c.isspace() or c in ".," for c in symbol):
        reader.errors["symbol"] = (
            "A sign has up to eight letters or marks, and no digit, space, point or comma."
        )
    if decimals is not None and (decimals % 1 or not 0 <= decimals <= 4):
        reader.errors["decimals"] = "Decimals are counted: write a whole number from 0 to 4."
    if reader.errors:
        return reader.done()
    return reader.done(currency={"symbol": symbol, "decimals": 2 if decimals is None else int(decimals)})


def read_new(sent: FormData) -> Reading:
    """A study that is to be started; what is left out is as usual."""
    reader = Reader(sent)
    margin = reader.number("margin", "%")
    given = {"question": reader.text("question"), "audience": reader.text("audience")}
    title = reader.words("title")
    if not given["question"] and title is None:
        reader.errors["question"] = "The question is empty; ask it in one sentence, or give the study a name."
    shares = {} if margin is None else {"margin": round(margin / 100, 12)}
    return reader.done(**given, **shares, **({} if title is None else {"title": title}))


def test_values(test: Test) -> Values:
    """What stands in the fields of a test."""
    frames = test.measures is Measures.FRAMES
    return {
        "name": test.name,
        "measures": test.measures.value,
        "metric": test.metric if frames else "average_fps",
        FROM: "yes" if test.also else "",
        "unit": "" if frames else test.unit,
        "direction": test.direction.value,
        "group": test.group,
        "stresses": ", ".join(test.stresses),
        "scene": test.scene,
        "version": test.version,
        "settings-name": tuple(test.settings),
        "settings-value": tuple(test.settings.values()),
        "locked_fps": plain(test.locked_fps),
        "free_length": "yes" if test.free_length else "",
        "minutes": plain(test.minutes),
        **script_values(test.script),
    }


def script_values(script: Script | None) -> Values:
    """What stands in the fields of the command that runs a test by itself."""
    if script is None:
        return {}
    return {
        "script_command": script.command,
        "script_score": script.score,
        "script_warm_up": str(script.warm_up),
        "script_timeout_s": plain(script.timeout_s),
        "script_folder": script.folder,
    }


NEW_TEST: Values = {
    "measures": "frames",
    "metric": "average_fps",
    FROM: "yes",
    "direction": "higher",
    "settings-name": ("resolution", "quality"),
    "settings-value": ("", ""),
}


def read_test(sent: FormData) -> Reading:
    """A test; what belongs to the other sort of number is left out."""
    reader = Reader(sent)
    frames = reader.text("measures") != Measures.SCORE
    metric = reader.words("metric")
    others = [key for key, _, _ in metric_choices() if key != metric]
    return reader.done(
        name=reader.text("name"),
        measures=reader.text("measures"),
        metric=metric if frames else None,
        also=others if frames and reader.text(FROM) else None,
        unit=None if frames else reader.words("unit"),
        direction=None if frames else reader.words("direction"),
        group=reader.text("group"),
        stresses=[word for each in reader.text("stresses").split(",") if (word := each.strip())],
        scene=reader.text("scene"),
        version=reader.text("version"),
        settings=reader.rows("settings", spared=("resolution", "quality")),
        locked_fps=reader.number("locked_fps", "fps") if frames else None,
        free_length=bool(reader.text("free_length")),
        minutes=reader.number("minutes", "min"),
        script=read_script(reader),
    )


def read_script(reader: Reader) -> dict[str, object] | None:
    """The command that runs a test by itself; none without a command."""
    command, warm_up = reader.words("script_command"), reader.number("script_warm_up")
    timeout_s = reader.number("script_timeout_s", "s")
    if command is None:
        return None
    if warm_up is not None and (warm_up % 1 or not 0 <= warm_up <= 100):
        reader.errors["script_warm_up"] = "Warm-up runs are counted: write a whole number up to 100."
    if timeout_s is not None and timeout_s <= 0:
        reader.errors["script_timeout_s"] = "The time after which it is ended must be above 0."
    given = {"timeout_s": timeout_s, "warm_up": None if warm_up is None else int(warm_up)}
    return {
        "command": command,
        "score": reader.text("script_score"),
        "folder": reader.text("script_folder"),
        **{name: value for name, value in given.items() if value is not None},
    }


def filled_form(name: str, reading: Reading, problems: Iterable[FieldProblem], *, check: str = "") -> Form:
    """The form as it was sent, with everything that is wrong with it; one begins at the first of that."""
    errors = {shown_at(each.field): each.words for each in problems} | dict(reading.errors)
    start = next((field for field in (*reading.typed, *errors) if errors.get(field)), "")
    return Form(name=name, values=reading.typed, errors=errors, read=reading.read, check=check, start=start)


def shown_at(field: str) -> str:
    """The form's field at which a problem of the record's field stands."""
    return SHOWN_AT.get(field, field)
