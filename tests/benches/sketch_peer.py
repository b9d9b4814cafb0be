#!/usr/bin/env python3
"""A picture full of discs by a general plotting library, for `sketch.rs` to be measured against.

    pip install matplotlib
    python sketch_peer.py DISCS WIDTH HEIGHT REPEATS
        # prints JSON: the median seconds from discs to a PNG and to an SVG in memory, on one thread
"""
import io
import json
import os
import statistics
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"
import matplotlib

matplotlib.use("agg")
import numpy as np
from matplotlib.figure import Figure

discs, width, height, repeats = (int(word) for word in sys.argv[1:])
random = np.random.default_rng(1)
x, y = random.uniform(0, width, discs), random.uniform(0, height, discs)
area, colour = random.uniform(0.3, 2, discs) ** 2, random.uniform(0.5, 1, (discs, 3))


def draw(form):
    figure = Figure(figsize=(width / 200, height / 200), dpi=200, facecolor="black")
    axes = figure.add_axes((0, 0, 1, 1), xlim=(0, width), ylim=(0, height))
    axes.set_axis_off()
    axes.scatter(x, y, s=area, c=colour, linewidths=0)
    figure.savefig(io.BytesIO(), format=form)


def median(form):
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        draw(form)
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


draw("png")
print(json.dumps({"png": median("png"), "svg": median("svg")}))
