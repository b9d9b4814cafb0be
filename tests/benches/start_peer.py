#!/usr/bin/env python3
"""A catalogue of the same size read by an astronomy library, for `start.rs` to be measured against.

    pip install astropy
    python start_peer.py STARS OBJECTS REPEATS
        # prints JSON: the median seconds to read them as FITS tables, on one thread
"""
import json
import statistics
import sys
import tempfile
import time

import numpy as np
from astropy.table import Table

stars, objects, repeats = (int(word) for word in sys.argv[1:])
random = np.random.default_rng(1)


def write(path, rows, numbers, words):
    made = Table({f"number{k}": random.uniform(0, 360, rows) for k in range(numbers)})
    for k in range(words):
        made[f"word{k}"] = [f"NGC {row}, so called" for row in range(rows)]
    made.write(path, format="fits")
    return path


def read(path):
    made = Table.read(path, format="fits")
    return [made[name][-1] for name in made.colnames]


with tempfile.TemporaryDirectory() as folder:
    files = [write(f"{folder}/stars", stars, 4, 0), write(f"{folder}/objects", objects, 7, 4)]
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        for file in files:
            read(file)
        taken.append(time.perf_counter() - begun)
print(json.dumps({"seconds": statistics.median(taken)}))
