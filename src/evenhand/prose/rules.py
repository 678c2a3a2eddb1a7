"""The rules of the sentence check, read from data: patterns with the names of the record as signs."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.prose.inflection import verb_words, with_verbs
from evenhand.prose.signs import Named, span

ENGLISH = "en"
SAYS = frozenset({
    "ahead", "behind", "level", "same", "first", "last", "cause", "forecast", "lasting", "everyone", "silent",
    "leans", "steady", "neither", "apart",
})  # fmt: skip
OF = frozenset({"speed", "value", "noise", "heat", "power", "energy", "price"})
NEEDS = frozenset({"", "setup", "part", "praise", "hardware"})
SECTIONS = (
    "names", "clauses", "exempt", "scope", "metrics", "nets", "praise", "roles", "figures", "topics", "money",
    "defining", "disclosing", "asking", "about", "telling", "size", "repeated", "unread", "polar", "ranks",
    "tuning",
)  # fmt: skip
READ_NAMES = ("fillers", "idioms")  # of the section on names, what is a pattern by itself
_WORD = re.compile(r"(?<!\(\?P)<([A-Za-z_]+)>")
_DEEPEST = 6  # how often fragments may stand in fragments


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimRule:
    """Words by which a sentence claims something: of what, saying what, and where its object is looked for.

    `needs` is what must be named for it to be a claim; `lone` takes the pair spoken of where none is named;
    `wide` looks beyond its clause, to the end of the sentence; `yields` gives way to any other in its clause;
    `loose` says nothing where its clause names tests.
    """

    name: str
    pattern: re.Pattern[str]
    says: str
    of: str = "speed"
    object: str = "none"
    winner: str = ""
    needs: str = ""
    who: str = ""
    negatable: bool = True
    lone: bool = False
    wide: bool = False
    yields: bool = False
    loose: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRule:
    """A unit of results as it is written and spoken, and which sorts of figure carry it."""

    unit: str
    pattern: re.Pattern[str]
    sorts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MetricRule:
    """A metric as it is spoken of; `sorts` are figures that carry its definition."""

    name: str
    key: str
    pattern: re.Pattern[str]
    sorts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rules:
    """One language, equal to itself alone. `found` holds every other pattern by section and name.

    `said` are the check's own words.
    """

    language: str
    abbreviations: frozenset[str]
    said: Mapping[str, str]
    claims: tuple[ClaimRule, ...]
    units: tuple[UnitRule, ...]
    metrics: tuple[MetricRule, ...]
    kinds: Mapping[str, re.Pattern[str]]
    found: Mapping[str, re.Pattern[str]]
    plain: Mapping[str, Any]

    def __getitem__(self, name: str) -> re.Pattern[str]:
        """A pattern by "section.name"; a list of patterns is one."""
        return self.found[name]

    def words(self, key: str, **slots: object) -> str:
        """What the check says, filled."""
        return self.said[key].format(**slots)


@lru_cache(maxsize=8)
def rules(language: str = ENGLISH) -> Rules:
    """The rules of a language. Raises NotFound where there are none, BadRecord where they cannot be read."""
    folder = resources.files("evenhand.prose") / "rules"
    names = (each.name for each in folder.iterdir())
    known = sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml"))
    if language not in known:
        raise NotFound(f"no rules for the language '{language}'", todo=nearest(language, known))
    return read_rules((folder / f"{language}.toml").read_text(encoding="utf-8"))


def read_rules(text: str) -> Rules:
    """Rules as TOML. Raises BadRecord that names what cannot be read."""
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadRecord(f"rules cannot be read: {error}", todo="mend the file") from error
    missing = {"language", "said", "words", "claim", "roles"} - document.keys()
    if missing:
        raise BadRecord(f"rules lack {', '.join(sorted(missing))}", todo="add them, as in en.toml")
    return _rules(document, _Reader(words=_words(document), document=document))


def _rules(document: dict[str, Any], reader: _Reader) -> Rules:
    return Rules(
        language=document["language"], abbreviations=frozenset(document.get("abbreviations", ())),
        said=document["said"],
        claims=tuple(_claim(entry, reader) for entry in document["claim"]),
        units=tuple(
            UnitRule(unit=u["unit"], pattern=reader.read(u["pattern"], u["unit"]), sorts=tuple(u["sorts"]))
            for u in document.get("unit", ())
        ),
        metrics=tuple(
            MetricRule(
                name=m["name"], key=m["key"], pattern=reader.read(m["pattern"], m["name"]),
                sorts=tuple(m["sorts"]),
            )
            for m in document.get("metric", ())
        ),
        kinds={kind: reader.read(rf"\b(?:{p})\b", kind) for kind, p in document.get("kinds", {}).items()},
        found=dict(_patterns(document, reader)), plain=document,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reader:
    """Reads patterns with fragments in them."""

    words: Mapping[str, str]
    document: dict[str, Any]

    def read(self, pattern: str, name: str) -> re.Pattern[str]:
        try:
            return re.compile(self.whole(pattern), re.IGNORECASE)
        except (re.error, KeyError) as error:
            raise BadRecord(f"rule '{name}' cannot be read: {error}", todo="mend its pattern") from error

    def whole(self, pattern: str) -> str:
        """The pattern with its verbs in every form and its fragments in place."""
        pattern = with_verbs(pattern, self.document)
        for _ in range(_DEEPEST):
            pattern = _WORD.sub(lambda found: self.words[found[1]], pattern)
        return pattern


def _words(document: dict[str, Any]) -> dict[str, str]:
    """Fragments: signs for names, numbers, units, and the language's own."""
    own = {named.value: span(named) for named in Named}
    rows = document.get("rows", {})
    owner, joint = rows.get("owner", ""), rows.get("joint", ", ")
    own |= {2 * n: f"(?:<{n}>{owner}(?:{joint}<{n}>{owner})*)" for n in ("S", "T")}
    own["PART"] = "(?:<P>|<K>)"
    units = [u["pattern"] for u in document.get("unit", ())]
    own["unit"] = "(?:" + "|".join(units or ["(?!)"]) + ")"
    own["money"] = "(?:" + "|".join(document.get("money", {}).get("words", ()) or ["(?!)"]) + ")"
    own["N"] = f"(?:{number_pattern(document)})"
    words: dict[str, str] = document["words"]
    return (
        own | verb_words(document) | words | {k: f"(?:{v})" for k, v in document.get("metrics", {}).items()}
    )


def number_pattern(document: dict[str, Any]) -> str:
    """A number in digits or in words."""
    words = {**document.get("number_words", {}), **document.get("number_scales", {})}
    figures = document.get("figures", {}).get("number", r"\d+(?:\.\d+)?")
    if not words:
        return str(figures)
    some = "|".join(sorted(map(re.escape, words), key=len, reverse=True))
    joints = document.get("number_joints", {})
    between, articles = joints.get("between", r"[\s-]+"), joints.get("articles", "")
    scales = "|".join(map(re.escape, document.get("number_scales", {}))) or "(?!)"
    half = re.escape(joints.get("half", ["(?!)", 0])[0])
    return rf"{figures}|\b(?:{some}|{articles}(?:{scales}))(?:{between}(?:{some}))*(?: {half})?\b"


def _claim(entry: dict[str, Any], reader: _Reader) -> ClaimRule:
    name = entry.get("name", "?")
    for key, known in (("says", SAYS), ("of", OF), ("needs", NEEDS)):
        if entry.get(key, next(iter(known))) not in known:
            raise BadRecord(f"rule '{name}' has {key} = '{entry[key]}'", todo=nearest(entry[key], known))
    own = {k: v for k, v in entry.items() if k != "pattern"}
    return ClaimRule(pattern=reader.read(entry["pattern"], name), **own)


def _patterns(document: dict[str, Any], reader: _Reader) -> list[tuple[str, re.Pattern[str]]]:
    """Every other pattern; of a list, any of them."""
    joint = document.get("figures", {}).get("joint", r"\s*")
    found = [
        (f"amount.{u['unit']}", reader.read(rf"(?P<n><N>){joint}(?:{u['pattern']})(?!\w)", u["unit"]))
        for u in document.get("unit", ())
    ]  # fmt: skip
    for section in SECTIONS:
        for name, value in document.get(section, {}).items():
            if section == "names" and name not in READ_NAMES:
                continue
            if isinstance(value, str):
                found.append((f"{section}.{name}", reader.read(value, name)))
            elif isinstance(value, list) and section != "money":
                found.append((f"{section}.{name}", reader.read("|".join(value), name)))
            elif section == "figures" and name == "words":
                found += [(f"{section}.{name}.{key}", reader.read(key, key)) for key in value]
            elif isinstance(value, dict):
                found += [
                    (f"{section}.{name}.{key}", reader.read(v, key))
                    for key, v in value.items() if isinstance(v, str)
                ]  # fmt: skip
    return found
