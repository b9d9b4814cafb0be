#!/usr/bin/env python3
"""The best focal length and the best two by an array library, for `choice.rs` to be measured against.

What each of some 530 focal lengths, one per cent apart, serves is a column of a matrix; what two serve together is
a product of such matrices. Between two focal lengths of the grid it sees nothing, so it never finds more than ours.

    pip install numpy
    python coverage_peer.py FILE REPEATS  # FILE: little-endian doubles, shortest mm, longest mm, weight of each target
        # prints JSON: the most that one and that two serve, and the median seconds on one thread
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

GRID = np.geomspace(20, 4000, 1 + round(math.log(4000 / 20) / math.log(1.01)))


def best(targets):
    shortest, longest, weight = targets.T
    serves = ((shortest[:, None] <= GRID) & (GRID <= longest[:, None])).astype(float)
    weighted = serves * weight[:, None]
    one = weighted.sum(axis=0)
    both = weighted.T @ serves
    return one.max(), (one[:, None] + one - both).max()


targets = np.fromfile(sys.argv[1], dtype="<f8").reshape(-1, 3)
one, two = best(targets)
taken = []
for _ in range(int(sys.argv[2])):
    begun = time.perf_counter()
    best(targets)
    taken.append(time.perf_counter() - begun)
print(json.dumps({"one": one, "two": two, "seconds": statistics.median(taken)}))
