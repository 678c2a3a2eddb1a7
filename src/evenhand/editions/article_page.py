"""The article: one static page of an edition, that any host can serve, with all it needs beside it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from evenhand.editions.article import Article
from evenhand.editions.lean_ends import lean_ends
from evenhand.editions.lean_looks import lean, used_by
from evenhand.editions.lean_marks import lean_marks
from evenhand.editions.lean_pictures import lean_pictures
from evenhand.publish.direction import in_elements
from evenhand.publish.faces import Face, needs_extended
from evenhand.publish.palette import SLOTS
from evenhand.publish.picture import embedded
from evenhand.publish.tuning.readers import FOR_READERS, not_called_words
from evenhand.publish.written import writing
from evenhand.publish.written_pages import in_page
from evenhand.records.publications import PAYS

PAGE = "index.html"
SCRIPTS = ("weighing.js", "telling.js", "running.js", "typed.js", "written.js", "own_terms.js")
STYLES = ("look.css", "article.css")
SIGNS = "evenhand-signs"
DIGITS = 10  # of numbers that the page's scripts work with


@cache
def _templates() -> Environment:
    env = Environment(
        loader=PackageLoader("evenhand.editions", "templates"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    env.filters["picture"] = lambda picture: Markup(embedded(picture))  # noqa: S704  (our own SVG, names escaped)
    env.globals["slot_marks"] = {slot.number: slot.mark for slot in SLOTS}
    return env


def article_files(article: Article) -> dict[str, bytes]:
    """The page and all that it needs, by path: nothing of it asks any other host."""
    looks, fonts = files("evenhand.publish") / "looks", files("evenhand.publish") / "fonts"
    told, painted = lean_pictures(lean_ends(page(article)))
    cuts = [face.value for face in Face]
    used = [*cuts, *(cut.extended for cut in cuts if needs_extended(told, cut))]
    made = {PAGE: told.encode()}
    scripts = {name: (looks / name).read_text("utf-8") for name in SCRIPTS}
    parts = used_by(told, scripts.values())
    made |= {name: script.encode() for name, script in scripts.items()}
    made |= {name: lean((looks / name).read_text("utf-8"), parts).encode() for name in STYLES}
    made["look.css"] = made["look.css"].replace(b"url(/fonts/", b"url(fonts/")
    made["article.css"] += painted.encode()
    return made | {
        f"fonts/{name}.woff2": (fonts / f"{name}.woff2").read_bytes()
        for name in (SIGNS, *(cut.file for cut in used))
    }


def page(article: Article) -> str:
    """The page as HTML. Every name and note is escaped."""
    linked = Markup(_in_script(structured(article)))  # noqa: S704  (no sign that could end the element)
    prose = Markup(article.prose)  # noqa: S704  (made by prose.rendering: nothing that was typed is a tag)
    template = _templates().get_template("article.html")
    told = template.render(
        a=article, prose=prose, linked=linked, json=_in_attribute, pays=PAYS, cautions=FOR_READERS,
        not_called=not_called_words,
    )  # fmt: skip
    return in_elements(in_page(lean_marks(told), writing(article.form, keep=article.keep)))


def structured(article: Article) -> dict[str, Any]:
    """What the page is about, for machines that read schema.org: an article, and the data set behind it."""
    author = {"author": {"@type": "Person", "name": article.by}} if article.by else {}
    licence = {"license": article.licence} if article.licence else {}
    place = {"url": article.place} if article.place else {}
    return {
        "@context": "https://schema.org",
        "@type": "Article",
        "headline": article.title,
        "abstract": article.answer,
        "datePublished": article.at.isoformat(),
        "version": str(article.number),
        **place,
        **author,
        **licence,
        "about": [{"@type": "Product", "name": machine.name} for machine in article.machines],
        "isBasedOn": {
            "@type": "Dataset",
            "name": article.title,
            "description": article.question or article.title,
            "version": str(article.number),
            **place,
            **licence,
            "variableMeasured": [meaning.label for meaning in article.meanings],
        },
    }


def _in_script(value: object) -> str:
    """JSON that may stand in a script element whatever it holds."""
    told = json.dumps(value, ensure_ascii=False, indent=1)
    return told.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _in_attribute(value: object) -> Markup:
    """JSON that may stand in an attribute between single quotes, its own quotes as they are."""
    told = json.dumps(_digits(value), ensure_ascii=False, separators=(",", ":"))
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ("'", "&#39;")):
        told = told.replace(sign, name)
    return Markup(told)  # noqa: S704  (no sign that could end the attribute or the element)


def _digits(value: Any) -> Any:
    """The same with numbers to ten digits: readers' own terms are told to the tenth of a per cent.

    >>> _digits({"d": [0.10157979578947174, 3, True]})
    {'d': [0.1015797958, 3, True]}
    """
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}")
    if isinstance(value, Mapping):
        return {key: _digits(each) for key, each in value.items()}
    return [_digits(each) for each in value] if isinstance(value, list | tuple) else value
