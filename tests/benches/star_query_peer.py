#!/usr/bin/env python3
"""Stars around a point by a k-d tree over a catalogue held in memory, for `star_query.rs` to be measured against.

    pip install numpy scipy
    python star_query_peer.py STARS IN_VIEW REPEATS
        # prints JSON: how many were found, and the median seconds of a query, of the tree and of a scan, on one thread
"""
import json
import math
import os
import statistics
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"
import numpy as np
from scipy.spatial import cKDTree

stars, in_view, repeats = (int(word) for word in sys.argv[1:])
random = np.random.default_rng(1)
z, turn = random.uniform(-1, 1, stars), random.uniform(0, 2 * math.pi, stars)
ring = np.sqrt(1 - z**2)
places = np.column_stack([ring * np.cos(turn), ring * np.sin(turn), z])
light = random.uniform(0, 16, (stars, 2)).astype(np.float32)
centre = np.array([1.0, 0.0, 0.0])
# The cap that holds so many of them if they lie evenly.
cosine = 1 - 2 * in_view / stars
chord = math.sqrt(2 - 2 * cosine)
tree = cKDTree(places)


def by_tree():
    found = tree.query_ball_point(centre, chord)
    return places[found], light[found]


def by_scan():
    found = places @ centre > cosine
    return places[found], light[found]


def median(work):
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


assert len(by_tree()[0]) == len(by_scan()[0])
print(json.dumps({"found": len(by_tree()[0]), "tree": median(by_tree), "scan": median(by_scan)}))
