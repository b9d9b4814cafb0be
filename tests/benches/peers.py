#!/usr/bin/env python3
"""Speed of general-purpose libraries at the projection that our core does.  One process, one thread; prints JSON.

    pip install numpy astropy
    python3 peers.py           # medians of 5

Run by the bench `projection.rs`, which prints its own figures beside these.
"""
import json, math, os, statistics, time, warnings
for v in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[v] = "1"
try:
    os.sched_setaffinity(0, {sorted(os.sched_getaffinity(0))[0]})
except Exception:
    pass
warnings.filterwarnings("ignore")
import astropy
import numpy as np
from astropy.wcs import WCS

DEG = math.pi / 180
R = {}


def bench(name, n, fn, k=5):
    fn()
    t = []
    for _ in range(k):
        a = time.perf_counter()
        fn()
        t.append(time.perf_counter() - a)
    R[name] = {"n": n, "rate_per_s": n / statistics.median(t), "best_per_s": n / min(t)}


rng = np.random.default_rng(1)
w = WCS(naxis=2)
w.wcs.ctype = ["RA---TAN", "DEC--TAN"]
w.wcs.crval = [83.8, -5.4]
w.wcs.crpix = [3000.5, 2000.5]
s = 1.46 / 3600
w.wcs.cd = [[-s * math.cos(.3), s * math.sin(.3)], [s * math.sin(.3), s * math.cos(.3)]]
w.wcs.set()


def np_tan(ra, dec, ra0, dec0, pa, sc, cx, cy):
    sd, cd = np.sin(dec), np.cos(dec)
    da = ra - ra0
    sa, ca = np.sin(da), np.cos(da)
    s0, c0 = math.sin(dec0), math.cos(dec0)
    d = 1.0 / (s0 * sd + c0 * cd * ca)
    xi, eta = cd * sa * d, (c0 * sd - s0 * cd * ca) * d
    cp, sp = math.cos(pa) / sc, math.sin(pa) / sc
    return cx - xi * cp + eta * sp, cy - xi * sp - eta * cp


def np_tan_unit(v, r, u, c, cx, cy, sc):
    d = 1.0 / (v @ c) / sc
    return cx + (v @ r) * d, cy - (v @ u) * d


for n in (100000, 1000000):
    ra, dec = 83.8 + rng.uniform(-5, 5, n), -5.4 + rng.uniform(-5, 5, n)
    P = np.column_stack([ra, dec])
    x, y = np_tan(ra * DEG, dec * DEG, 83.8 * DEG, -5.4 * DEG, .3, s * DEG, 3000.5, 2000.5)
    q = w.wcs_world2pix(P[:1000], 1)
    err = float(max(abs(q[:, 0] - x[:1000]).max(), abs((4001 - q[:, 1]) - y[:1000]).max()))
    assert err < 1e-6, err
    bench("wcslib_tan_world2pix_%d" % n, n, lambda: w.wcs_world2pix(P, 1))
    bench("wcslib_tan_pix2world_%d" % n, n, lambda: w.wcs_pix2world(P, 1))
    a, b = ra * DEG, dec * DEG
    bench("numpy_tan_from_angles_%d" % n, n, lambda: np_tan(a, b, 83.8 * DEG, -5.4 * DEG, .3, s * DEG, 3000.5, 2000.5))
    V = np.column_stack([np.cos(b) * np.cos(a), np.cos(b) * np.sin(a), np.sin(b)])
    I = np.eye(3)
    bench("numpy_tan_from_unit_vectors_%d" % n, n, lambda: np_tan_unit(V, I[1], I[2], I[0], 3000.5, 2000.5, s * DEG))

print(json.dumps({"numpy": np.__version__, "astropy": astropy.__version__, "results": R}, indent=1))
