"""What was spoken of before a sentence, so that "it", "both" and "here" mean something."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.prose.ground import Ground
from evenhand.prose.mentions import Signed
from evenhand.prose.rules import Rules
from evenhand.prose.scopes import WIDEST, Scope, scope_of
from evenhand.prose.script import Sort
from evenhand.prose.signs import Named

BACK = ("scope.here", "scope.that", "roles.it", "roles.both")  # what goes back to what was said
TOPIC = 4  # words of a sentence that does no more than name what the next one is about


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What was last said of speed: who is ahead of whom, or who are level (all are in `better`)."""

    level: bool
    better: tuple[str, ...]
    worse: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """Setups by how lately they were named, the last pair, and the scope of the heading and of what was said.

    `subject` is who the last sentence with a name began with; `asked` the scope of a question or a few words
    just before, which the next sentence answers; `told` what the last sentence said of
    speed, if anything.
    """

    recent: tuple[str, ...] = ()
    pair: tuple[str, ...] = ()
    subject: str = ""
    heading: Scope = WIDEST
    last: Scope = WIDEST
    asked: Scope = WIDEST
    metric: str = ""
    told: Told | None = None

    def after(self, sentence: Signed, ground: Ground, rules: Rules, *, sort: Sort, begins: bool) -> Context:
        """The same after one more sentence, which may begin a paragraph; a heading begins anew."""
        scope = scope_of(sentence, (0, len(sentence.text)), ground, rules)
        named = sentence.keys(Named.SETUP)
        recent = (*reversed(named), *(s for s in self.recent if s not in named))
        if sort is Sort.HEADING:
            return Context(
                recent=recent, pair=named if len(named) > 1 else self.pair, heading=scope,
                subject=named[0] if named else self.subject,
            )  # fmt: skip
        text = sentence.text.strip()
        asks = rules["clauses.question"].search(text) or (len(text.split()) <= TOPIC and not named)
        return replace(
            self, asked=scope if asks else WIDEST, recent=recent, pair=named if len(named) > 1 else self.pair,
            subject=named[0] if named else self.subject,
            last=scope if scope.said else WIDEST if begins else self.last,
            metric=scope.metric or self.metric,
        )  # fmt: skip

    def scope(self, own: Scope, text: str, rules: Rules) -> Scope:
        """The scope of a clause: its own, else that of the heading, else what "here" or "it" goes back to."""
        metric = own.metric or (self.metric if rules["metrics.again"].search(text) else "")
        if own.said:
            return replace(own, metric=metric)
        if self.asked.said:
            return replace(self.asked, metric=metric or self.asked.metric)
        if any(rules[back].search(text) for back in BACK):
            back = self.last if self.last.said else self.heading
            return replace(back, metric=metric)
        return replace(self.heading, metric=metric)
