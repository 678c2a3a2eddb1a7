"""A style sheet with only those rules that one page can use: a page that goes out carries no other page's."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_TAG = re.compile(r"<([a-zA-Z][\w-]*)")
_NAMES = re.compile(r'\b(?:class|id)="([^"]*)"')
_WORD = re.compile(r"[\w-]+")
_NESTING = ("@media", "@supports", "@container", "@layer")
_PSEUDO = re.compile(r"::?[\w-]+")
_ATTRIBUTE = re.compile(r"\[[^\]]*\]")
_SPACES = re.compile(r'"[^"]*"|[^\S\n]*([{};,])[^\S\n]*|(?<=[\w-])(:) (?=[^{}]*[;})])')
_ASKED = re.compile(r"([.#]?)(-?[a-zA-Z_][\w-]*)")


@dataclass(frozen=True, slots=True)
class Used:
    """What a page is made of: its elements, and the names by which its elements, or its scripts, go."""

    tags: frozenset[str]
    names: frozenset[str]


def used_by(page: str, scripts: Iterable[str]) -> Used:
    """What is in a page, and whatever its scripts may put there: every word of theirs counts."""
    names = {name for found in _NAMES.findall(page) for name in found.split()}
    spoken = {word for script in scripts for word in _WORD.findall(script)}
    tags = {tag.lower() for tag in _TAG.findall(page)}
    return Used(tags=frozenset(tags | spoken | {"html", "body"}), names=frozenset(names | spoken))


def lean(css: str, used: Used) -> str:
    r"""The rules of a sheet that any element of the page may meet, in their order, as short as they can be.

    >>> lean('p, b { color: red; content: "a, b"; } i { color: red; }', used_by("<p>x</p>", []))
    'p{color:red;content:"a, b"}\n'
    """
    kept = "\n".join(_kept(_COMMENT.sub("", css), used)) + "\n"
    return _SPACES.sub(lambda found: found[1] or found[2] or found[0], kept).replace(";}", "}")


def _kept(css: str, used: Used) -> Iterator[str]:
    for head, body in _rules(css):
        if head.startswith(_NESTING):
            inner = " ".join(_kept(body, used))
            if inner:
                yield f"{head} {{ {inner} }}"
        elif head.startswith("@"):
            yield f"{head} {{{body}}}"
        else:
            own = [each for each in _split(head) if _may_meet(each, used)]
            if own:
                yield f"{', '.join(own)} {{{body}}}"


def _rules(css: str) -> Iterator[tuple[str, str]]:
    """Each rule of one level: what stands before its braces, and what within."""
    at = 0
    while (opening := css.find("{", at)) >= 0:
        closing, deep = opening + 1, 1
        while deep and closing < len(css):
            deep += {"{": 1, "}": -1}.get(css[closing], 0)
            closing += 1
        yield " ".join(css[at:opening].split()), " ".join(css[opening + 1 : closing - 1].split())
        at = closing


def _split(selectors: str) -> Iterator[str]:
    """Selectors of a list, at its commas outside of brackets."""
    deep, begun = 0, 0
    for at, sign in enumerate(selectors):
        deep += (sign in "([") - (sign in ")]")
        if sign == "," and not deep:
            yield selectors[begun:at].strip()
            begun = at + 1
    yield selectors[begun:].strip()


def _may_meet(selector: str, used: Used) -> bool:
    """Whether the page has every element and name that the selector asks for outside of brackets."""
    plain = _ATTRIBUTE.sub("", selector)
    while (fewer := re.sub(r"\([^()]*\)", "", plain)) != plain:
        plain = fewer
    asked = _ASKED.findall(_PSEUDO.sub("", plain))
    return all(name in used.names if sign else name.lower() in used.tags for sign, name in asked)
