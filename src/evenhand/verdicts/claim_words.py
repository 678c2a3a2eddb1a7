"""Every word of the claim ladder, in one place: names of rungs, reasons, and sentences that would stand.

Slots are filled by `claims.Said`. A key that ends in `-1` is the same where its count is one.
"""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.verdicts.claims import Kind, Rung

RUNG_NAMES: Mapping[Rung, str] = {
    Rung.SCENE: "This scene, this version, this setup",
    Rung.TESTS: "These tests",
    Rung.CAUSE: "This part caused it",
    Rung.UNTESTED: "Titles not tested",
    Rung.LASTING: "It will last",
}

BY_VALUE = ("level by value", "not told apart by value")
"""Two of which neither is the better value: shown to be level within the margin, or not."""

ASKS: Mapping[Kind, Rung] = {
    Kind.TEST: Rung.SCENE,
    Kind.INDEX: Rung.TESTS,
    Kind.AUDIENCE: Rung.TESTS,
    Kind.LEVEL: Rung.TESTS,
    Kind.NO_DIFFERENCE: Rung.TESTS,
    Kind.SUPERLATIVE: Rung.TESTS,
    Kind.CAUSE: Rung.CAUSE,
    Kind.FORECAST: Rung.UNTESTED,
    Kind.LASTING: Rung.LASTING,
    Kind.VALUE: Rung.TESTS,
    Kind.NOISE: Rung.SCENE,
    Kind.HEAT: Rung.SCENE,
    Kind.POWER: Rung.SCENE,
}
"""The rung that each kind of sentence asks for."""

MARKERS: Mapping[Kind, tuple[str, ...]] = {
    Kind.NO_DIFFERENCE: ("no difference", "the same speed", "identical", "makes no difference"),
    Kind.SUPERLATIVE: ("fastest", "slowest", "quietest", "coolest", "most efficient", "best of all"),
    Kind.CAUSE: ("because of", "thanks to", "due to", "owing to"),
    Kind.FORECAST: ("in every game", "in games in general", "whatever you play", "always faster"),
    Kind.LASTING: ("will last", "future-proof", "stable", "for years"),
    Kind.VALUE: ("better value", "worth the money", "better buy", "for the money"),
    Kind.NOISE: ("quieter", "louder", "silent"),
    Kind.HEAT: ("cooler", "hotter", "runs cool", "runs hot"),
    Kind.POWER: ("draws less", "draws more", "more efficient", "power-hungry"),
}
"""Words by which a sentence gives away what it asks of the record, whatever else it says."""

REASONS: Mapping[str, str] = {
    # this scene
    "scene-whole": "{count} settled between the two",
    "scene-part": "settled for {tests} only",
    "scene-none": "no test is settled between the two",
    "test-called": "its interval over repeated runs settles it",
    "test-unsettled": "unsettled: {range}, {first} over {other}, allows no difference, and more than "
    "{margin}",
    "test-withheld": "unsettled: with allowances and all comparisons counted, nothing is called",
    "test-bare": "its runs allow no interval",
    "test-not-run": "nothing was measured in {tests} on both sides",
    # these tests
    "tests-called": "{count}, {runs}",
    "tests-unsettled": "over these tests the two are unsettled",
    "tests-few": "fewer than two tests can be joined",
    "audience-called": "the weights of {audience} over {count}, {runs}",
    "audience-unsettled": "for {audience} the two are unsettled",
    "audience-none": "nothing that {audience} weighs bears a verdict",
    "audience-none-index": "nothing that {audience} weighs bears a verdict; the index over all tests is "
    "called by itself ({count}, {runs})",
    "no-audience": "no audience was named",
    "contrary": "the record says otherwise",
    "level-not-shown": "the interval {range}, {first} over {other}, reaches beyond {margin}, so that "
    "level is not shown",
    "level-no-interval": "there is no interval that could lie within the margin",
    "nothing-shows-none": "no number of runs shows that there is none, only that it is below {margin}",
    "no-difference-no-level": "no number of runs shows that there is none; here not even {margin} is kept",
    # first of all
    "first-shown": "ahead of every other setup of the study",
    "first-not-shown": "not called ahead of {rivals}",
    "first-not-compared": "nothing that was measured holds it against {rivals}, or not one way",
    "first-nobody": "no setup of the study is ahead of all others",
    # causes
    "cause-whole": "{parts} told apart from all else in every test in which one is ahead",
    "cause-part": "for {tests} only, where a swap tells {parts} apart from all else",
    "cause-bundle": "{parts} changed together, and no setup on record tells them apart",
    "cause-bundle-unread": "whether {others} changed as well is not on record",
    "cause-none": "no setup on record tells one part apart from the rest",
    "cause-nothing-to-explain": "no test has one of the two ahead, so that there is nothing to explain",
    "cause-not-looked-at": "the parts of the two were not held against each other",
    "cause-shown": "{parts} told apart from all else in {tests}",
    "cause-same-part": "the two do not differ in {parts}",
    "cause-small": "told apart in {tests}, {parts} makes no difference beyond {margin}",
    "cause-unsettled": "told apart in {tests}, its effect is unsettled",
    "cause-otherwise": "told apart in {tests}, {parts} works the other way",
    "cause-elsewhere": "shown for {tests} only, and not for {others}",
    "cause-doubted": "{setups} was not what it was said to be, by what its clock gained",
    "cause-unread": "what {setups} has there is not on record",
    # titles not tested
    "forecast-clear": "a title not tested may fall from {range}, {first} over {other}: clear of no "
    "difference ({count})",
    "forecast-within": "a title not tested may fall from {range}, {first} over {other}: all within {margin} "
    "({count})",
    "forecast-open": "a title not tested may fall anywhere from {range}, {first} over {other}",
    "forecast-open-few": "a title not tested may fall anywhere from {range}, {first} over {other}; "
    "a forecast needs {least}",
    "forecast-wide": "these tests differ too much to foretell a title not tested",
    "forecast-few": "the range from {count}, {range}, {first} over {other}, is no forecast: {least} of one "
    "sort are needed",
    "forecast-none": "no interval for a title not tested can be had",
    "forecast-not-called": "the index over these tests is itself unsettled",
    "forecast-shared": "boots or order leave room for an error that all these tests share",
    "forecast-part": "for {groups} only",
    "forecast-apart": "the groups of tests point different ways",
    # it will last
    "no-ageing": "no ageing trials: all was measured once, over {boots}",
    # value
    "value-shown": "prices of {days}, held against what the difference is worth",
    "value-level": f"at the prices of {{days}} the two are {BY_VALUE[0]}",
    "value-open": "beside {b} and for {audience}, {a} is worth anything from {low} to {high}, which reaches "
    f"more than {{margin}} from its price: the two are {BY_VALUE[1]}, which is not level",
    "value-states": "{a} and {b} are one build, bought once: what tuning it buys, and for what, is told",
    "value-no-price": "no price on record for {setups}",
    "value-elsewhere": "{setups} priced in another currency only, and no rate of its day is on record",
    "value-no-date": "the prices carry no date",
    "value-unknown": "what the difference is worth has no interval",
    # other evidence
    "not-measured": "not measured",
    "power-unread": "nobody read the watts in {tests}",
    "evidence-called": "measured by itself, with its own interval",
    "evidence-unsettled": "measured, and not settled one way in every test that the sentence speaks of",
}  # fmt: skip

SENTENCES: Mapping[str, str] = {
    "test-ahead": "In {tests}, {a} is ahead of {b} by {lead}.",
    "test-behind": "In {tests}, {b} is ahead of {a} by {lead}.",
    "test-level": "In {tests}, {a} and {b} are level within {margin}.",
    "index-ahead": "Over these {count}, {a} is ahead of {b} by {lead}.",
    "index-behind": "Over these {count}, {b} is ahead of {a} by {lead}.",
    "index-level": "Over these {count}, {a} and {b} are level within {margin}.",
    "index-unsettled": "Over these {count}, {a} and {b} are unsettled.",
    "group-ahead": "In {group}, over these {count}, {a} is ahead of {b} by {lead}.",
    "group-behind": "In {group}, over these {count}, {b} is ahead of {a} by {lead}.",
    "group-level": "In {group}, over these {count}, {a} and {b} are level within {margin}.",
    "group-unsettled": "In {group}, over these {count}, {a} and {b} are unsettled.",
    "audience-ahead": "For {audience}, {a} is ahead of {b} by {lead} on what was measured.",
    "audience-behind": "For {audience}, {b} is ahead of {a} by {lead} on what was measured.",
    "audience-level": "For {audience}, {a} and {b} are level within {margin} on what was measured.",
    "audience-unsettled": "For {audience}, {a} and {b} are unsettled.",
    "first-noise": "Wherever noise was read, {first} is quieter than {rivals}, all that was compared.",
    "first-power": "Wherever watts were read, {first} draws less than {rivals}, all that was compared.",
    "first-test": "In {tests}, {first} is ahead of {rivals}, all that was compared.",
    "first": "Over these {count}, {first} is ahead of {rivals}, all that was compared.",
    "cause-ahead": "In {tests}, {parts} puts {a} ahead of {b}.",
    "cause-behind": "In {tests}, {parts} puts {b} ahead of {a}.",
    "cause-joint": "In {tests}, {parts} together make the difference; which of them does is not known.",
    "forecast-ahead": "In {group} not tested, {a} is likely ahead of {b}, by {range}.",
    "forecast-behind": "In {group} not tested, {b} is likely ahead of {a}, by {range}.",
    "forecast-level": "In {group} not tested, {a} and {b} are likely level within {margin}.",
    "untested-ahead": "In titles not tested, {a} is likely ahead of {b}, by {range}.",
    "untested-behind": "In titles not tested, {b} is likely ahead of {a}, by {range}.",
    "untested-level": "In titles not tested, {a} and {b} are likely level within {margin}.",
    "measured-once": "Measured over {runs} and {boots}; nothing is known of later.",
    "value": "For {audience}, {better} is better value than {other} while {a} costs {side} {money}, "
    "prices of {days}.",
    "value-level": f"For {{audience}}, {{a}} and {{b}} are {BY_VALUE[0]} at the prices of {{days}}.",
    "quieter-ahead": "{where}, {a} is quieter than {b} by {decibels}.",
    "quieter-behind": "{where}, {b} is quieter than {a} by {decibels}.",
    "quieter-level": "{where}, {a} and {b} are level in noise within {margin}.",
    "cooler-ahead": "{where}, at the same noise, the {parts} of {a} is cooler than that of {b} by {kelvins}.",
    "cooler-behind": "{where}, at the same noise, the {parts} of {b} is cooler than that of {a} "
    "by {kelvins}.",
    "cooler-level": "{where}, at the same noise, the {parts} of {a} and of {b} are level within {margin}.",
    "quieter-open": "{where}, not settled: {front} reads quieter than {other} by {decibels}.",
    "cooler-open": "{where}, not settled: at the same noise, the {parts} of {front} reads cooler than that "
    "of {other} by {kelvins}.",
    "place-unread": "{where}, not measured.",
    "power-open": "In {tests}, not settled: {a} draws {range} at the wall beside {b}.",
    "power-open-alone": "In {tests}, not settled: no spread is known of the watts of {a} and {b}.",
    "power-ahead": "In {tests}, {a} draws less at the wall than {b}, by {lead}.",
    "power-behind": "In {tests}, {a} draws more at the wall than {b}, by {lead}.",
    "power-level": "In {tests}, {a} and {b} draw alike at the wall within {margin}.",
    "frame-open": "In {tests}, not settled: {a} takes {range} energy for each frame beside {b}.",
    "frame-open-alone": "In {tests}, not settled: no spread is known of what a frame takes on {a} and {b}.",
    "frame-ahead": "In {tests}, {a} takes less energy for each frame than {b}, by {lead}.",
    "frame-behind": "In {tests}, {a} takes more energy for each frame than {b}, by {lead}.",
    "frame-level": "In {tests}, {a} and {b} take the same energy for each frame within {margin}.",
}

TEMPTING: Mapping[str, str] = {
    "forecast": "{front} is the faster machine for {group}.",
    "forecast-level": "{a} and {b} are level in every one of {group}.",
    "cause": "{front} is ahead because of its {parts}.",
    "lasting": "{front} will last, and is future-proof.",
    "superlative": "{front} is the fastest.",
    "no-difference": "There is no difference between {a} and {b}.",
    "value": "{front} is the better value.",
    "noise": "{front} is the quieter machine.",
    "power": "{front} draws less power.",
    "audience": "{front} is the better machine for {audience}.",
}
"""What somebody is tempted to say of a pair, by what it would ask of the record."""

PERHAPS = ", perhaps by less than the {margin} that matter."
BRIDGED, WORTH_BRIDGED = ", bridged by {bridges}.", "; what it does is bridged by {bridges}."
UNSTEADY = "; {restless} did not read alike from day to day."
WHERE_IDLE, WHERE_TEST = "At idle", "In {tests}"
BELOW, ABOVE = "less than", "more than"
