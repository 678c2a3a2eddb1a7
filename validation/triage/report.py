"""What the tallies say, as tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from evenhand.triage.families import BUDGET, FAMILIES, spent
from validation.triage.plants import PLANTS
from validation.triage.table import Line, Tally, wilson
from validation.triage.tables import Table, percent, text


def report(tallies: Mapping[Line, Tally], *, markdown: bool = False) -> str:
    """All tables, one after the other."""
    good = {line.n: tally for line, tally in tallies.items() if line.plant is None}
    parts = []
    if good:
        parts += [
            text("good runs held", _good(good), markdown=markdown),
            text("by family", _families(good), markdown=markdown),
            text("who pays", _payers(good), markdown=markdown),
        ]
    if any(line.plant is not None for line in tallies):
        parts += [text(name, table, markdown=markdown) for name, table in _planted(tallies)]
    return "\n\n".join(parts)


def _good(good: Mapping[int, Tally]) -> Table:
    rows = []
    for n, tally in good.items():
        low, high = wilson(tally.good_held, tally.runs)
        rows.append(
            [
                f"n = {n}",
                f"{tally.runs:,}",
                percent(tally.good_held, tally.runs, 2),
                f"{100 * low:.2f} to {100 * high:.2f} %",
                f"{1000 * tally.seconds / tally.runs:.1f} ms",
                ", ".join(f"{kind} {count}" for kind, count in tally.kinds.most_common()) or "none",
                ", ".join(f"{kind} {count}" for kind, count in tally.noted.most_common()) or "none",
            ]
        )
    return ("", "runs", "held", "95 % interval", "a run", "for", "only noted"), rows


def _families(good: Mapping[int, Tally]) -> Table:
    shares = {n: spent(tally.kinds, tally.runs) for n, tally in good.items()}
    rows = [
        [f.name, f"{100 * f.budget:.1f} %", *(f"{100 * shares[n][f.name]:.2f} %" for n in good)]
        for f in FAMILIES
    ]
    whole = [percent(t.good_held, t.runs, 2) for t in good.values()]
    return ("family", "budget", *(f"n = {n}" for n in good)), [
        *rows,
        ["all", f"{100 * BUDGET:.1f} %", *whole],
    ]


def _payers(good: Mapping[int, Tally]) -> Table:
    groups = Counter(group for tally in good.values() for group, _ in tally.groups)
    rows = [
        [
            group,
            *(
                percent(t.groups[group, True], t.groups[group, True] + t.groups[group, False], 1)
                for t in good.values()
            ),
            f"{sum(t.groups[group, held] for t in good.values() for held in (True, False)):,}",
        ]
        for group in sorted(groups)
    ]
    return ("kind of test", *(f"n = {n}" for n in good), "runs"), rows


def _planted(tallies: Mapping[Line, Tally]) -> Iterator[tuple[str, Table]]:
    """Found by name and held for any reason, at each n."""
    spoilt = {(line.plant, line.n): tally for line, tally in tallies.items() if line.plant is not None}
    ns = sorted({n for _, n in spoilt})
    known = [place for place in range(len(PLANTS)) if any(p == place for p, _ in spoilt)]
    pair = [n for n in ns if n == 2]
    several = [n for n in ns if n > 2]
    single = [place for place in known if not PLANTS[place].shared]
    if several and single:
        yield "planted in one run", _one(single, several, spoilt)
    if several and len(single) < len(known):
        yield "the same in every run", _all([p for p in known if p not in single], several, spoilt)
    if pair and single:
        yield "planted in one run of two", _two([p for p in single if (p, 2) in spoilt], spoilt)


Spoilt = Mapping[tuple[int, int], Tally]


def _one(places: Sequence[int], ns: Sequence[int], spoilt: Spoilt) -> Table:
    head = ["planted", "kind"]
    for n in ns:
        head += [f"found n = {n}", "held"]
    head += ["good siblings held", "beyond the noise gate", "held as"]
    rows = []
    for place in places:
        plant, most = PLANTS[place], spoilt[place, ns[-1]]
        row = [plant.title, plant.kind + (" (told)" if plant.told else "")]
        for n in ns:
            tally = spoilt[place, n]
            row += [percent(tally.found, tally.cells), percent(tally.held, tally.cells)]
        others = ", ".join(
            f"{kind} {count}" for kind, count in most.called.most_common(3) if kind != plant.kind
        )
        row += [
            percent(most.beside_held, most.beside, 1),
            f"{percent(most.noisy_found, most.noisy_cells)} of {most.noisy_cells}",
            others or "–",
        ]
        rows.append(row)
    return head, rows


def _all(places: Sequence[int], ns: Sequence[int], spoilt: Spoilt) -> Table:
    rows = []
    for place in places:
        row = [PLANTS[place].name, PLANTS[place].kind]
        for n in ns:
            tally = spoilt[place, n]
            row += [percent(tally.found, tally.cells), percent(tally.held, tally.cells)]
        rows.append(row)
    head = ["planted in all runs", "kind", *(word for n in ns for word in (f"all found n = {n}", "all held"))]
    return head, rows


def _two(places: Sequence[int], spoilt: Spoilt) -> Table:
    rows = []
    for place in places:
        plant, tally = PLANTS[place], spoilt[place, 2]
        rows.append(
            [
                plant.title,
                plant.kind,
                percent(tally.told, tally.cells),
                percent(tally.held, tally.cells),
                percent(tally.beside_held, tally.beside, 1),
            ]
        )
    return ("planted", "kind", "told or held", "held", "the good one held"), rows
