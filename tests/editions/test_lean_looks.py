"""A page carries the rules that it can use, and every one of those."""

from __future__ import annotations

import re

import pytest

from evenhand.editions.lean_looks import lean, used_by

PAGE = '<main class="page wide" id="top"><p class="quiet">Words</p><svg class="mk b2"></svg></main>'
SCRIPT = 'place.className = "says err"; document.createElement("li");'
USED = used_by(PAGE, [SCRIPT])


def parts(css: str) -> list[str]:
    """A sheet without its spaces and the last semicolon of a rule."""
    return re.sub(r"\s+", "", css).replace(";}", "}").split("}")


@pytest.mark.parametrize(
    "rule",
    [
        ":root { --a: 1px; }",
        "*, ::before { margin: 0; }",
        ".page > .quiet { color: red; }",
        "#top p:first-child { color: red; }",
        ".says.err { color: red; }",
        "li { margin: 0; }",
        ".page:not(.other) { color: red; }",
        ":is(.other, .page) p { color: red; }",
        "p[hidden] { display: none; }",
        "@font-face { font-family: A; src: url(a.woff2); }",
    ],
)  # fmt: skip
def test_what_may_meet_an_element_stays(rule: str) -> None:
    assert parts(lean(rule, USED)) == parts(rule)


@pytest.mark.parametrize(
    "rule",
    [".other { color: red; }", ".page .other { color: red; }", "table { margin: 0; }", "#else p { a: b; }"],
)
def test_what_meets_nothing_goes(rule: str) -> None:
    assert lean(rule, USED).strip() == ""


def test_of_a_list_the_used_stay_and_an_empty_condition_goes() -> None:
    css = (
        "/* } */ .other, .quiet { a: b; } @media print { .other { a: b; } } @media screen { .page { a: b; } }"
    )
    assert lean(css, USED) == ".quiet{a:b}\n@media screen{.page{a:b}}\n"


@pytest.mark.parametrize(
    "rule",
    [
        'p { content: ", a; b: c {"; }',
        "p :hover { width: calc(100% - 2 * var(--s4)); }",
        "p > .quiet + .quiet { background: url(a.woff2) no-repeat; }",
        "@media (max-width: 60rem) and (hover: none) { p { margin: 0 auto; } }",
    ],
)
def test_spaces_that_part_something_stay(rule: str) -> None:
    kept = lean(rule, USED)
    for part in re.findall(
        r'"[^"]*"|calc\([^)]*\)+|p :hover|p > .quiet \+ .quiet|\) [a-z-]+|and \(|0 auto', rule
    ):
        assert part in kept
