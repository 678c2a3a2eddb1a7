"""Templates: mistakes that show only once a part of a page is drawn that seldom is."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, nodes

import evenhand.web

TEMPLATES = Path(evenhand.web.__file__).parent / "templates"


def test_no_filter_of_a_loop_asks_for_the_loop_that_it_filters() -> None:
    found = []
    for path in sorted(TEMPLATES.glob("*.html")):
        tree = Environment(autoescape=True).parse(path.read_text())
        for each in tree.find_all(nodes.For):
            names = each.test.find_all(nodes.Name) if each.test is not None else ()
            if isinstance(each.test, nodes.Name):
                names = (each.test, *names)
            found += [f"{path.name}:{each.lineno}" for name in names if name.name == "loop"]
    assert found == []
