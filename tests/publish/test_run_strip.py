from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, root_of, texts

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.strip_runs import RunStrip, scale_of
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.left_out import REASONS
from evenhand.publish.names import TestName
from evenhand.publish.palette import slot
from evenhand.publish.style import card, page
from evenhand.records.runs import Reason, RunState
from evenhand.records.tests import Direction


def said(picture) -> list[str]:
    return [text.words.text.replace("\u00a0", " ") for text in texts(picture)]


def marks(picture, number):
    return [e for e in root_of(picture).iter(f"{SVG}path") if e.attrib["d"] == slot(number).mark]


def test_the_headline_counts_what_counts_what_waits_and_what_is_set_aside():
    words = said(run_strip(s.strip(), s.NAMES, style=page())[0])
    assert words[0] == "Hollow Regatta: 15 runs count, one waits and one is set aside"


@pytest.mark.parametrize(
    ("states", "words"),
    [
        ([RunState.LANDED], "Hollow Regatta: one run counts"),
        ([RunState.LANDED, RunState.KEPT], "Hollow Regatta: two runs count"),
        ([RunState.IN_DOUBT] * 2, "Hollow Regatta: no runs count and two wait"),
        (
            [RunState.LANDED, RunState.SET_ASIDE, RunState.REPLACED],
            "Hollow Regatta: one run counts and two are set aside",
        ),
    ],
)
def test_headlines(states, words):
    runs = [
        replace(run, state=state) for run, state in zip(s.runs_of("plover", value=165), states, strict=False)
    ]
    assert said(run_strip(RunStrip(test="regatta", runs=tuple(runs)), s.NAMES, style=page())[0])[0] == words


def test_every_run_has_a_mark_and_form_shows_its_state():
    picture = run_strip(s.strip(), s.NAMES, style=card())[0]
    for number, runs in ((1, 5), (2, 6), (3, 6)):
        assert len(marks(picture, number)) == runs + 1  # and one beside the name
    hollow = [m for n in (1, 2, 3) for m in marks(picture, n) if m.attrib["fill"] == "#fcfdfc"]
    crosses = [e for e in root_of(picture).iter(f"{SVG}line") if e.attrib["stroke"] == "#b3261e"]
    assert len(hollow) == 2
    assert len(crosses) == 2


def test_what_does_not_count_is_labelled_with_number_and_reason():
    words = said(run_strip(s.strip(), s.NAMES, style=card())[0])
    assert {"143.9", "capped", "150.2", "waits"} <= set(words)
    assert "Crossed: capped." in " ".join(words)


def test_every_reason_has_its_words():
    assert set(REASONS) == set(Reason)


def test_runs_stand_in_the_order_they_were_made():
    runs = s.runs_of("plover", value=165)
    shuffled = RunStrip(test="regatta", runs=(runs[3], runs[0], runs[4], runs[1], runs[2]))
    in_order = RunStrip(test="regatta", runs=tuple(runs))
    one, other = (run_strip(strip, s.NAMES, style=card())[0] for strip in (shuffled, in_order))
    assert [m.attrib["transform"] for m in marks(one, 2)] == [m.attrib["transform"] for m in marks(other, 2)]


def test_setups_stand_side_by_side_on_one_scale():
    picture = run_strip(s.strip(), s.NAMES, style=card())[0]

    def places(number: int) -> list[tuple[float, float]]:
        inside = [
            m.attrib["transform"].split("(")[1].split(")")[0].split() for m in marks(picture, number)[1:]
        ]
        return [(float(x), float(y)) for x, y in inside]

    wren, plover, dunlin = places(1), places(2), places(3)
    assert max(x for x, _ in wren) < min(x for x, _ in plover)
    assert max(x for x, _ in plover) < min(x for x, _ in dunlin)
    assert min(y for _, y in wren) > max(y for _, y in dunlin)  # slower stands lower


def test_no_run_is_refused():
    with pytest.raises(NotEnoughRuns):
        run_strip(RunStrip(test="regatta", runs=()), s.NAMES, style=card())


def test_no_tick_of_the_scale_is_finer_than_the_digits_of_a_run():
    held = [replace(run, value=60.0 - 0.0004 * i) for i, run in enumerate(s.runs_of("plover", value=60.0))]
    words = said(run_strip(RunStrip(test="regatta", runs=tuple(held)), s.NAMES, style=card())[0])
    ticks = [word for word in words if word.startswith(("59.", "60."))]
    assert len(ticks) >= 2
    assert all(len(tick.split(".")[1]) == 2 for tick in ticks)
    assert len(set(ticks)) == len(ticks)


@pytest.mark.parametrize("unit", ["fps", "jobs/h", "loads/min", "minutes", "points", "kJ per scene"])
def test_the_unit_and_the_numbers_of_the_scale_keep_clear_of_the_first_setup(unit):
    names = replace(s.NAMES, tests={"load": TestName(name="Project load", unit=unit)})
    for factor in (1, 12_345):
        runs = tuple(replace(run, value=factor * run.value) for run in s.strip().runs)
        picture = run_strip(RunStrip(test="load", runs=runs), names, style=card())[0]
        words = {t.words.text: t for t in texts(picture)}
        name = next(t for text, t in words.items() if text.startswith("Wren"))
        left = name.words.x - 19 * 1.02 * card().unit  # where its mark begins
        scale = [t for t in words.values() if t.words.x == card().margin and t.fill != name.fill]
        assert unit in {t.words.text for t in scale}
        assert all(t.box.right < left - 20 for t in scale if t.words.y < 960)


def test_a_unit_too_long_for_the_scale_stands_at_the_foot():
    names = replace(s.NAMES, tests={"load": TestName(name="Load", unit="megapixels per second and core")})
    words = said(run_strip(RunStrip(test="load", runs=s.strip().runs), names, style=card())[0])
    assert "megapixels per second and core" not in words
    assert "Scale in megapixels per second and core." in " ".join(words)


def test_averages_and_labels_of_a_card_show_the_same_digits():
    """An average surer than its neighbours has one digit more, which only looks like another rule."""
    halves = {"plover": 1.0, "dunlin": 0.7, "wren": 0.2}
    means = tuple(
        (key, replace(s.estimate(v, "fps"), low=v - halves[key], high=v + halves[key]))
        for key, v in (("plover", 61.0), ("dunlin", 71.5), ("wren", 54.0))
    )
    runs = [run for key, mean in means for run in s.runs_of(key, value=mean.value)]
    runs[0] = replace(runs[0], value=62.024, state=RunState.SET_ASIDE, reason=Reason.DUPLICATE)
    words = said(
        run_strip(RunStrip(test="tramlines", runs=tuple(runs), means=means), s.NAMES, style=card())[0]
    )
    assert {"Plover 61.0", "Dunlin 71.5", "Wren 54.0", "62.0"} <= set(words)


def test_the_order_is_said_with_the_runs_that_have_no_place_in_it():
    first, *others = s.strip().runs
    some = replace(s.strip(), runs=(replace(first, order=None), *others))
    none = replace(s.strip(), runs=tuple(replace(run, order=None) for run in s.strip().runs))
    told = {"whole": s.strip(), "some": some, "none": none}
    drawn = {key: run_strip(strip, s.NAMES, style=card())[0] for key, strip in told.items()}
    foot = {key: " ".join(said(picture)) for key, picture in drawn.items()}
    assert "In the order made. " in foot["whole"]
    assert "In the order made; last, without a place: one of Wren." in foot["some"]
    assert "Order not on record." in foot["none"]
    assert "rder made" not in foot["none"]
    assert [picture.title for picture in drawn.values()] == [
        "Runs of Hollow Regatta in the order they were made",
        "Runs of Hollow Regatta in the order as far as on record",
        "Runs of Hollow Regatta, order not on record",
    ]


@pytest.mark.parametrize("style", [card(), page()])
@pytest.mark.parametrize(
    ("better", "words"), [(Direction.LOWER, "Less is better."), (Direction.HIGHER, "More is better.")]
)
def test_the_foot_says_which_way_is_better(style, better, words):
    picture = run_strip(replace(s.strip(), better=better), s.NAMES, style=style)[0]
    assert words in " ".join(said(picture))
    assert words in picture.description


def dotted(picture) -> int:
    return sum("stroke-dasharray" in e.attrib for e in root_of(picture).iter(f"{SVG}line"))


@pytest.mark.parametrize(
    ("boots", "lines"), [("aabbc", 2), ("aaaaa", 0), ([None] * 5, 0), (["a", None] * 2, 0)]
)
def test_dotted_lines_part_boots_that_are_on_record_and_the_foot_says_so(boots, lines):
    runs = tuple(replace(r, boot=b) for r, b in zip(s.runs_of("plover", value=165), boots, strict=False))
    picture = run_strip(RunStrip(test="regatta", runs=runs), s.NAMES, style=card())[0]
    assert dotted(picture) == lines
    assert ("Dotted: another boot." in " ".join(said(picture))) == bool(lines)


@pytest.mark.parametrize("half", [None, 1e-6, 2.0])
def test_the_foot_speaks_of_shade_only_where_some_is_to_be_seen(half):
    mean = None if half is None else replace(s.estimate(165, "fps"), low=165 - half, high=165 + half)
    strip = RunStrip(
        test="regatta", runs=tuple(s.runs_of("plover", value=165)), means=(("plover", mean),) if mean else ()
    )
    picture = run_strip(strip, s.NAMES, style=card())[0]
    pale = [e for e in root_of(picture).iter(f"{SVG}rect") if "fill-opacity" in e.attrib]
    assert bool(pale) == ("Shaded" in " ".join(said(picture))) == (half == 2.0)


def test_a_mean_of_a_setup_without_runs_shades_nothing():
    strip = RunStrip(
        test="regatta", runs=tuple(s.runs_of("plover", value=165)), means=(("wren", s.estimate(165, "fps")),)
    )
    assert "Shaded" not in " ".join(said(run_strip(strip, s.NAMES, style=card())[0]))


def test_runs_left_out_at_one_number_are_told_once_for_all():
    runs = [
        replace(run, value=60.0 - 1e-5 * i, state=RunState.IN_DOUBT)
        for i, run in enumerate([*s.runs_of("plover", value=60, n=4), *s.runs_of("wren", value=60, n=4)])
    ]
    words = said(run_strip(RunStrip(test="regatta", runs=tuple(runs)), s.NAMES, style=card())[0])
    assert (words.count("60.00 each"), words.count("wait")) == (2, 2)
    assert "waits" not in words


@pytest.mark.parametrize(
    ("waiting", "labelled", "rest"), [(3, 3, ""), (11, 2, "Not labelled: nine runs between.")]
)
def test_of_many_runs_that_wait_the_outermost_are_labelled_and_the_foot_counts_the_rest(
    waiting, labelled, rest
):
    runs = [
        replace(run, value=84.0 + 0.7 * ((5 * i) % 11), state=RunState.IN_DOUBT)
        for i, run in enumerate(s.runs_of("plover", value=84, n=waiting))
    ]
    picture = run_strip(RunStrip(test="regatta", runs=tuple(runs)), s.NAMES, style=card())[0]
    words = said(picture)
    assert words.count("waits") == labelled
    values = sorted(run.value for run in runs)
    assert {f"{values[0]:.2f}", f"{values[-1]:.2f}"} <= set(words)
    assert ("Not labelled" in " ".join(words)) == bool(rest)
    assert rest in " ".join(words)
    assert picture.description.count("waits") == waiting


LONG_NAMES = {
    "wren": "Wren, the second sample",
    "plover": "Plover rebuilt with care",
    "dunlin": "Dunlin as it came",
}


def called(names: dict[str, str]):
    setups = {key: replace(named, name=names.get(key, named.name)) for key, named in s.NAMES.setups.items()}
    return replace(s.NAMES, setups=setups)


def times(factor: float) -> RunStrip:
    """The usual strip with every number so many times as large."""
    strip = s.strip()
    means = tuple(
        (key, replace(e, **{end: factor * getattr(e, end) for end in ("value", "low", "high")}))
        for key, e in strip.means
    )
    return replace(strip, runs=tuple(replace(r, value=factor * r.value) for r in strip.runs), means=means)


def test_long_names_stand_whole_over_their_numbers_where_both_do_not_fit_on_one_line():
    words = said(run_strip(s.strip(), called(LONG_NAMES), style=card())[0])
    assert {"118.0 fps", "165.0 fps", "148.0 fps"} <= set(words)
    assert not [word for word in words if word.endswith(("118.0", "165.0", "148.0"))]
    short = said(run_strip(s.strip(), s.NAMES, style=card())[0])
    assert {"Wren 118.0", "Plover 165.0", "Dunlin 148.0"} <= set(short)


@pytest.mark.parametrize("names", [{}, LONG_NAMES])
@pytest.mark.parametrize("factor", [1.0, 12345.678, 1e7, 1e15, 1e300, 5e305, 1e-9])
def test_marks_stand_where_the_lines_of_the_scale_say(names, factor):
    strip = times(factor)
    picture = run_strip(strip, called(names), style=card())[0]
    (low, at_low), (high, at_high) = scale_lines(picture, strip)
    (mark,) = marks(picture, 1)[1:2]
    y = float(mark.attrib["transform"].split("(")[1].split(")")[0].split()[1])
    first = next(run for run in strip.runs if run.setup == "wren")
    share = (first.value - low) / (high - low)
    assert y == pytest.approx(at_low + share * (at_high - at_low), abs=1.0)


def scale_lines(picture, strip):
    """The lowest and the highest line of the scale: what they stand for, and their height."""
    ticks = scale_of(strip).ticks
    heights = sorted(
        {
            float(e.attrib["y1"])
            for e in root_of(picture).iter(f"{SVG}line")
            if float(e.attrib["x1"]) == card().margin and e.attrib["y1"] == e.attrib["y2"]
        },
        reverse=True,
    )[1:]  # the foot's rule lies below
    assert len(heights) == len(ticks) >= 2
    return [(min(ticks), heights[0]), (max(ticks), heights[-1])]


@pytest.mark.parametrize("style", [card(), page()])
@pytest.mark.parametrize("factor", [1e7, 1e15, 1e300, 1.05e306, 1e-9, 1e-306])
def test_no_number_is_cut_or_runs_out_of_the_picture_however_large(style, factor):
    for names in ({}, LONG_NAMES):
        picture = run_strip(times(factor), called(names), style=style)[0]
        assert all(t.box.right <= picture.width and t.box.left >= 0 for t in texts(picture))
        assert not [word for word in said(picture) if "…" in word and any(c.isdigit() for c in word)]
    if factor >= 1e15:
        assert not [word for word in said(picture) if "000,000,000,000" in word]


def test_a_name_may_reach_over_the_gap_to_the_next_of_five_setups():
    names = replace(
        s.FIVE_NAMES,
        setups=dict(s.FIVE_NAMES.setups)
        | {"dunlin": replace(s.FIVE_NAMES.setups["dunlin"], name="Greenshank")},
    )
    runs = [run for key in names.setups for run in s.runs_of(key, value=150)]
    assert "Greenshank" in said(run_strip(RunStrip(test="regatta", runs=tuple(runs)), names, style=card())[0])


def test_names_of_five_setups_take_two_lines_before_one_is_cut():
    long = {"dunlin": "Greenshank mild", "kit": "Kittiwake quick"}
    setups = {
        key: replace(called, name=long.get(key, called.name)) for key, called in s.FIVE_NAMES.setups.items()
    }
    names = replace(s.FIVE_NAMES, setups=setups)
    runs = [run for key in names.setups for run in s.runs_of(key, value=150)]
    means = tuple((key, s.rates(s.FIVE_NAMES)[0].average) for key in names.setups)
    words = texts(run_strip(RunStrip(test="regatta", runs=tuple(runs), means=means), names, style=card())[0])
    assert not [each.words.text for each in words if each.words.text.endswith("…")]
    first, second = (next(w.words for w in words if w.words.text == text) for text in ("Greenshank", "mild"))
    assert first.x == second.x
    assert first.y < second.y
