"""Takes recorded on a real machine, good ones and ones that were spoilt while they ran, for triage to judge.

One server with a graphics accelerator drew scenes of our own, headless, in shuffled order: `seen.npz` (three
scenes, 15 s a take) was at hand while triage was being written; `unseen.npz` (two scenes, 12 s a take) was
recorded afterwards and judged once; the one change made after that look is said in `docs/methods-triage.md`.
Each array is one take: frame times in steps of 0.1 µs, named `order.scene.what was done to it`. What was done
is real: a limiter that waits (`cap`), a sleep of 3 s (`pause`), a start 3 s into the scene (`late`), another
course (`other-route`), fourteen to eighteen sleeps of 60 ms (`hitches`), 10 % more work by the end (`sag`),
8 % more all along (`slower`), twenty busy processes for 4 s (`processor-burst`), another program on the
accelerator for 4 s (`graphics-burst`).
"""
