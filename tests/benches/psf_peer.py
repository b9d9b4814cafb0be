#!/usr/bin/env python3
"""The delivered FWHM of a star by an array library, for `psf.rs` to be measured against.

The product of the transfer functions (annular aperture, Kolmogorov seeing, Gaussian guiding, square pixel) on a
grid of N x N frequencies, one real FFT to the picture, and the area above half its maximum by cubic interpolation
along rays. With N = 256 it is as near to `psf_fwhm.csv` as our own is: the worst row is 5 parts in 100,000 off.

    pip install numpy scipy
    python psf_peer.py APERTURE_MM OBSTRUCTION SEEING GUIDING PIXEL N REPEATS  # arcseconds; guiding an axis
        # prints JSON: the FWHM, and the median seconds on one thread
    python psf_peer.py --check TABLE N                                         # the worst error over a table's rows
"""
import csv
import json
import math
import os
import statistics
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"
import numpy as np
from scipy.ndimage import map_coordinates, spline_filter

KOLMOGOROV = 2.1512596294
WAVELENGTH_MM = 550e-6
# Widths of the star that the picture spans, so that its wings do not come round from the other side.
SPAN = 24
RAYS = 32
TURN = (np.arange(RAYS) + 0.5) * (math.pi / 2 / RAYS)
SIN, COS = np.sin(TURN), np.cos(TURN)


def overlap(f, one, other):
    """Common area of two circles whose middles are f apart, over pi."""
    with np.errstate(invalid="ignore", divide="ignore"):
        a = np.arccos(np.clip((f**2 + one**2 - other**2) / (2 * f * one), -1, 1))
        b = np.arccos(np.clip((f**2 + other**2 - one**2) / (2 * f * other), -1, 1))
    lens = one**2 * (a - np.sin(2 * a) / 2) + other**2 * (b - np.sin(2 * b) / 2)
    lens = np.where(f >= one + other, 0, np.where(f <= abs(one - other), math.pi * min(one, other) ** 2, lens))
    return lens / math.pi


def fwhm(aperture_mm, ratio, seeing, guiding, pixel, n):
    cut_off = math.radians(1 / 3600) * aperture_mm / WAVELENGTH_MM
    guess = math.sqrt(seeing**2 + (2.3548 * guiding) ** 2 + (1.03 / cut_off) ** 2 + pixel**2)
    span = SPAN * guess
    along, down = np.fft.rfftfreq(n, span / n), np.fft.fftfreq(n, span / n)[:, None]
    f = np.hypot(along, down)
    s = 2 * f / cut_off
    telescope = overlap(s, 1, 1)
    if ratio > 0:
        telescope = (telescope + overlap(s, ratio, ratio) - 2 * overlap(s, 1, ratio)) / (1 - ratio**2)
    rest = np.exp(-((KOLMOGOROV * seeing * f) ** (5 / 3)) - 2 * (math.pi * guiding * f) ** 2)
    picture = np.fft.irfft2(telescope * rest * np.sinc(pixel * along) * np.sinc(pixel * down), (n, n))
    # Along rays from its middle: the radius where it falls to half, by cubic interpolation and bisection.
    picture = spline_filter(np.fft.fftshift(picture)[n // 2 - n // 8 : n // 2 + n // 8, n // 2 - n // 8 : n // 2 + n // 8])
    half = map_coordinates(picture, [[n // 8], [n // 8]], prefilter=False)[0] / 2
    low, high = np.zeros(RAYS), np.full(RAYS, n / SPAN * 1.5)
    for _ in range(18):
        radius = (low + high) / 2
        above = map_coordinates(picture, [n // 8 + radius * SIN, n // 8 + radius * COS], prefilter=False) > half
        low, high = np.where(above, radius, low), np.where(above, high, radius)
    return 2 * math.sqrt((radius**2).mean()) * span / n


if sys.argv[1] == "--check":
    worst = 0.0
    for row in csv.DictReader(open(sys.argv[2])):
        wanted = float(row["fwhm_area_arcsec"])
        found = fwhm(*(float(row[k]) for k in ("aperture_mm", "obstruction_ratio", "seeing_fwhm_arcsec", "guiding_rms_per_axis_arcsec", "pixel_arcsec")), int(sys.argv[3]))
        worst = max(worst, abs(found / wanted - 1))
    print(worst)
else:
    *blur, n, repeats = sys.argv[1:]
    blur, n = [float(word) for word in blur], int(n)
    width = fwhm(*blur, n)
    taken = []
    for _ in range(int(repeats)):
        begun = time.perf_counter()
        fwhm(*blur, n)
        taken.append(time.perf_counter() - begun)
    print(json.dumps({"fwhm_arcsec": width, "seconds": statistics.median(taken)}))
