"""The report of an edition as PDF: tagged (PDF/UA-1), fonts inside, the same bytes for the same edition."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import as_file, files
from io import BytesIO
from typing import Any

from evenhand.editions.article import Article, Correction, ForWhom, Machine, PartRow, RunRow
from evenhand.editions.report_tuning import tuned_data
from evenhand.publish.direction import isolated
from evenhand.publish.faces import STAND_IN, spelled
from evenhand.publish.numbers import counted, listed
from evenhand.publish.picture import Picture
from evenhand.publish.written import Write, writing
from evenhand.publish.written_pages import picture_written

STANDARD = "ua-1"
FOLDERS = ("ttf", "ttf-ext")  # Latin with our own signs, and the further letters that names need


def report_pdf(article: Article, pictures: Sequence[Picture], keys: Mapping[str, str] | None = None) -> bytes:
    """The report. `pictures` are drawn in plain colours; their titles and descriptions become their text.

    `keys` has the names by key that the fonts cannot write: each goes by its key.
    """
    made: bytes = typeset(
        article, pictures, keys or {}, pdf_standards=[STANDARD], timestamp=int(article.at.timestamp())
    )  # fmt: skip
    return made


def typeset(
    article: Article, pictures: Sequence[Picture], keys: Mapping[str, str] | None = None, **form: Any
) -> Any:
    """The report as typst sets it, in the form that is asked for: bytes, or those of each page."""
    import typst

    set_by: Any = typst.compile  # its stubs do not know that it takes files by name
    write = writing(article.form, keep=article.keep)
    beside = [each for part in article.tuned for each in part.for_paper]
    shown = [picture_written(each, write) for each in (*pictures, *beside)]
    drawn = {f"picture-{i}.svg": spelled(each.svg, held()).encode() for i, each in enumerate(shown)}
    alts = [f"{each.title}. {each.description}" for each in shown]
    by_key = in_keys(keys or {})
    data, alts = _each(report_data(article), by_key), _each(alts, by_key)
    data["caveats"] += [*keys_words(keys or {}), *lost_words(data)]
    placed = [{"path": path, "alt": alt} for path, alt in zip(drawn, alts, strict=True)]
    told = _each(data, write) | {"pictures": placed[: len(pictures)], "beside_tuned": placed[len(pictures) :]}
    template = (files("evenhand.editions") / "templates" / "report.typ").read_bytes()
    with as_file(files("evenhand.publish") / "fonts") as fonts:
        return set_by(
            {"main.typ": template, "data.json": json.dumps(_each(told, in_signs)).encode(), **drawn},
            ignore_system_fonts=True, font_paths=[str(fonts / folder) for folder in FOLDERS], **form,
        )  # fmt: skip


@cache
def held() -> frozenset[str]:
    """Every sign that the report's fonts hold, line breaks and tabs with them."""
    from fontTools.ttLib import TTFont

    cuts: dict[str, set[int]] = {}
    fonts = files("evenhand.publish") / "fonts"
    for each in (file for folder in FOLDERS for file in (fonts / folder).iterdir()):
        cut = each.name.replace("-latin-ext-", "-latin-")
        cuts.setdefault(cut, set()).update(TTFont(BytesIO(each.read_bytes()), lazy=True).getBestCmap())
    # A sign that one cut lacks would be drawn from another: what all text faces hold, and our own signs.
    text = [signs for signs in cuts.values() if ord("A") in signs]
    own = [signs for signs in cuts.values() if ord("A") not in signs]
    return frozenset(map(chr, set.intersection(*text).union(*own))) | frozenset("\n\t")


def in_keys(keys: Mapping[str, str]) -> Write:
    """How a text is written with keys in the place of names that the fonts lack most letters of.

    >>> in_keys({"beetle": "Жук", "big": "Жук 2"})("Жук 2 is ahead of Жук.")
    'big is ahead of beetle.'
    """
    by_name = {told: key for key, name in keys.items() for told in (name, isolated(name))}
    if not by_name:
        return str
    names = re.compile("|".join(map(re.escape, sorted(by_name, key=len, reverse=True))))
    return lambda text: names.sub(lambda found: by_name[found[0]], text)


def keys_words(keys: Mapping[str, str]) -> list[str]:
    """What a report says where keys stand for names, as a sentence; none where it writes every name."""
    if not keys:
        return []
    said = "The letters of this report cannot write every name: by their keys go"
    return [f"{said} {listed(tuple(keys))}. The article and the data hold the names."]


def lost_words(data: Any) -> list[str]:
    """What a report has to say of signs that its fonts lack, as a sentence; none where they hold all.

    >>> lost_words({"name": "Ayre", "rows": ["Łódź"]}), len(lost_words({"name": "Жук"}))
    ([], 1)
    """
    told = "".join(_texts(data))
    lost = {sign for sign in told if sign.isprintable() and spelled(sign, held()) == STAND_IN != sign}
    if not lost:
        return []
    lack = f"The letters of this report lack {counted(len(lost), 'sign')} that it would have to write"
    return [f"{lack}: “{STAND_IN}” stands for each. The article and the data hold them."]


def _texts(told: Any) -> Iterator[str]:
    if isinstance(told, str):
        yield told
    elif isinstance(told, dict | list | tuple):
        for each in told.values() if isinstance(told, dict) else told:
            yield from _texts(each)


def in_signs(told: str) -> str:
    """A text in signs that the fonts hold: one that they lack would keep all from being set."""
    return spelled(told, held())


def _each(told: Any, write: Write) -> Any:
    """Data with every text in it written so."""
    if isinstance(told, str):
        return write(told)
    if isinstance(told, dict):
        return {key: _each(value, write) for key, value in told.items()}
    return [_each(each, write) for each in told] if isinstance(told, list | tuple) else told


def report_data(article: Article) -> dict[str, Any]:
    """Everything that the report says, as data for its template."""
    return {
        **{name: getattr(article, name) for name in PLAIN},
        "corrections": [_correction(each) for each in article.corrections],
        "for_whom": [_audience(each) for each in article.for_whom],
        "machines": list(article.rates.machines),
        "rates": [[test, number, *cells] for test, number, cells in article.rates.rows],
        "beside": [{"name": name, "said": list(said)} for name, said in article.beside],
        "builds": [_build(each) for each in article.machines],
        **tuned_data(article.tuned),
        "claims": [[each.words, str(each.rung)] for each in article.claims],
        "refusals": list(_refusals(article)),
        "method": list(article.method),
        "caveats": list(article.caveats),
        "meanings": [[each.label, each.meaning] for each in article.meanings],
        "runs": [_run(each) for each in article.runs],
        "behind_causes": [_run(each) for each in article.behind_causes],
    }


def _correction(made: Correction) -> dict[str, Any]:
    """An edition; what moved in an older one is told in that edition's own report."""
    return {
        "said": f"Edition {made.number}, {made.day}: {made.reason}. {made.verdicts}",
        "turned": [] if made.at else list(made.turned),
        "moved": [] if made.at else list(made.moved),
    }


def _audience(one: ForWhom) -> dict[str, Any]:
    return {
        "name": one.name,
        "weighs": one.weighs,
        "said": list(one.said),
        "flips": [f"{flip.change}: {flip.effect}" for flip in one.flips],
    }


def _build(machine: Machine) -> dict[str, Any]:
    return {
        "name": machine.name,
        "price": machine.price,
        "priced": machine.priced,
        "state": " ".join(machine.state),
        "parts": [_part(each, priced=machine.priced) for each in machine.parts],
    }


def _part(row: PartRow, *, priced: bool) -> list[str]:
    cost = [row.cost or "no price on record"] if priced else []
    return [row.kind, row.name, *cost, row.disclosed or "nothing said"]


def _run(row: RunRow) -> list[str]:
    return [row.label, row.test, row.setup, row.state, row.number]


PLAIN = (
    "key", "title", "question", "answer", "terms", "number", "day", "digest", "data_digest", "code_version",
    "by", "licence",
)  # fmt: skip


def _refusals(article: Article) -> Iterator[list[str]]:
    for each in article.refusals:
        instead = f" {each.instead}" if each.instead else ""
        yield [each.words, f"{each.why}.{instead}"]
