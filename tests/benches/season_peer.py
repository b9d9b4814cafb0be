#!/usr/bin/env python3
"""The fastest array-library form of a year of altitudes, for `season.rs` to be measured against.

Sine of the altitude of T targets for N nights at S samples a night, with no trigonometry inside:
cos(lst - ra) is split. It only makes the sines; it neither cuts them with the dark nor counts hours.
Places are not those of date.

    pip install numpy pyerfa
    python season_peer.py TARGETS NIGHTS SAMPLES REPEATS      # prints JSON: the least seconds, one thread
"""
import json
import math
import os
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"
import erfa
import numpy as np

targets, nights, samples, repeats = (int(word) for word in sys.argv[1:5])
rng = np.random.default_rng(1)
ra, dec = rng.uniform(0, 2 * math.pi, targets), np.arcsin(rng.uniform(-1, 1, targets))
lat, lon = math.radians(47), math.radians(8)
constant = math.sin(lat) * np.sin(dec)
by_cos, by_sin = math.cos(lat) * np.cos(dec) * np.cos(ra), math.cos(lat) * np.cos(dec) * np.sin(ra)


def year():
    for night in range(nights):
        # 24 samples at once stay in the cache.
        for first in range(0, samples, 24):
            f = np.arange(first, min(first + 24, samples)) / samples
            lst = erfa.gmst06(2461041.5 + night, f, 2461041.5 + night, f + 8e-4) + lon
            constant + np.cos(lst)[:, None] * by_cos + np.sin(lst)[:, None] * by_sin


best = math.inf
for _ in range(repeats):
    begun = time.perf_counter()
    year()
    best = min(best, time.perf_counter() - begun)
print(json.dumps({"seconds": best}))
