"""Light and dark differ by colours alone, which is why the second scheme is asked only about colours."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
from playwright.sync_api import Page
from tests.web.looking import AXE, COLOUR_RULES, sound

ROOT = Path(str(files("evenhand")))
# The curves are drawn anew in the colours of the other scheme; a picture sets each of its colours in both.
MAY_ASK = {"web/static/trace.js", "publish/picture.py"}


def test_nothing_asks_which_scheme_it_is_but_what_draws_in_its_colours() -> None:
    """A style sheet says `light-dark()`, by which nothing but a colour can be said."""
    shown = [place for place in ROOT.rglob("*") if place.suffix in {".css", ".html", ".js", ".py", ".svg"}]
    assert len(shown) > 500
    asking = {
        place.relative_to(ROOT).as_posix()
        for place in shown
        if "prefers-color-scheme" in place.read_text("utf-8")
    }
    assert asking == MAY_ASK


def test_the_rules_of_both_schemes_are_all_that_look_at_colours(page: Page) -> None:
    page.evaluate(AXE)
    asked = "axe._audit.rules.filter((each) => each.enabled && each.tags.includes('cat.color'))"
    assert set(page.evaluate(f"{asked}.map((each) => each.id)")) == set(COLOUR_RULES)


PAGE = """<!doctype html><html lang="en"><meta name="color-scheme" content="light dark"><title>Grey</title>
<style>p {{ background: {ground}; color: {ink} }}</style><main><h1>Grey</h1><p>{words}</p></main></html>"""
FAULTS = {
    "color-contrast: <p>": {"ink": "light-dark(#999, #eee)", "ground": "light-dark(#fff, #222)"},
    "color-contrast: <p>pale": {"ink": "light-dark(#111, #333)", "words": "pale where it is dark"},
    "image-alt: <img": {"words": '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">'},
}


@pytest.mark.parametrize(("told", "given"), FAULTS.items(), ids=["pale in light", "pale in dark", "no words"])
def test_a_fault_of_one_scheme_or_of_both_is_found(page: Page, told: str, given: dict[str, str]) -> None:
    usual = {"ink": "light-dark(#111, #eee)", "ground": "light-dark(#fff, #222)", "words": "Words"}
    page.set_content(PAGE.format(**usual))
    sound(page)
    page.set_content(PAGE.format(**usual | given))
    with pytest.raises(AssertionError, match=told):
        sound(page)
