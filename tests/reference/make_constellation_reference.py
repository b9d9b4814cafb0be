#!/usr/bin/env python3
"""Write constellations.csv: places and the constellation that astropy puts them in.

    python -m venv venv && venv/bin/pip install astropy==8.0.2 numpy
    venv/bin/python make_constellation_reference.py OUT.csv

200 places spread evenly over the sky, both poles, and 120 places a few arcminutes to either side
of a boundary. astropy's get_constellation turns ICRS to the mean equator of B1875 by way of
aberrated geocentric places, so it is off by up to 21 arcsec; a place is kept only if everything
within 1 arcminute of it is in the same constellation. Same versions, same bytes.
"""
import argparse
import warnings

import astropy
import astropy.units as u
import numpy as np
from astropy.coordinates import ICRS, PrecessedGeocentric, SkyCoord, get_constellation
from astropy.utils.data import get_pkg_data_contents

SEED = 1875


def boundary_places(rng, count):
    """Places 2 to 10 arcmin off a lower edge or a side of a strip, by turns."""
    text = get_pkg_data_contents("data/constellation_data_roman87.dat", package="astropy.coordinates")
    strips = [line.split() for line in text.splitlines() if line and not line.startswith("#")]
    ra, dec = [], []
    for k in range(count):
        low, high, edge = (float(x) for x in strips[rng.integers(len(strips) - 1)][:3])
        off = rng.choice([-1, 1]) * rng.uniform(2, 10) / 60
        if k % 2:
            ra.append(15 * rng.uniform(low, high))
            dec.append(edge + off)
        else:
            dec.append(edge + rng.uniform(0, 2))
            ra.append(15 * low + off / np.cos(np.radians(dec[-1])))
    old = SkyCoord(np.mod(ra, 360) * u.deg, np.clip(dec, -89.9, 89.9) * u.deg,
                   frame=PrecessedGeocentric(equinox="B1875"))
    new = old.transform_to(ICRS())
    return new.ra.deg, new.dec.deg


def stable(place, name):
    """Whether everything 1 arcmin round a place is in the same constellation."""
    same = np.ones(len(name), dtype=bool)
    for angle in range(0, 360, 45):
        moved = place.directional_offset_by(angle * u.deg, 1 * u.arcmin)
        same &= get_constellation(moved, short_name=True) == name
    return same


def main():
    ap = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ap.add_argument("out", help="CSV file to write")
    args = ap.parse_args()
    warnings.simplefilter("ignore")
    rng = np.random.default_rng(SEED)

    ra = rng.uniform(0, 360, 200)
    dec = np.degrees(np.arcsin(rng.uniform(-1, 1, 200)))
    near_ra, near_dec = boundary_places(rng, 120)
    ra = np.round(np.concatenate([ra, [0, 0], near_ra]), 6)
    dec = np.round(np.concatenate([dec, [90, -90], near_dec]), 6)
    kind = ["spread"] * 200 + ["pole"] * 2 + ["boundary"] * 120

    place = SkyCoord(ra * u.deg, dec * u.deg)
    short, full = get_constellation(place, short_name=True), get_constellation(place)
    keep = stable(place, short)
    with open(args.out, "w", encoding="utf-8", newline="") as f:
        f.write("kind,ra_deg,dec_deg,abbreviation,name\n")
        for row in zip(kind, ra, dec, short, full, keep):
            if row[-1]:
                f.write(f"{row[0]},{row[1]:.6f},{row[2]:.6f},{row[3]},{row[4]}\n")
    print(f"astropy {astropy.__version__}, numpy {np.__version__}, seed {SEED}: {keep.sum()} kept of {len(keep)}")


if __name__ == "__main__":
    main()
