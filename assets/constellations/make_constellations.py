#!/usr/bin/env python3
"""Write boundaries_b1875.txt and names.txt from the data that the Python package `astropy` carries.

    python -m venv venv && venv/bin/pip install astropy==8.0.2
    venv/bin/python make_constellations.py OUT_FOLDER

The boundaries are copied byte for byte. Of the names three are spelt here as the IAU does, and a space at a line's end goes.
"""
import argparse
import importlib.resources
import pathlib

FILES = {
    "constellation_data_roman87.dat": "boundaries_b1875.txt",
    "constellation_names.dat": "names.txt",
}
SPELLING = {b"Chamaleon": b"Chamaeleon", b"Ophiucus": b"Ophiuchus", b"Pisces Austrinus": b"Piscis Austrinus", b"Crux ": b"Crux"}


def main():
    ap = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ap.add_argument("out", type=pathlib.Path, help="folder to write into")
    args = ap.parse_args()
    data = importlib.resources.files("astropy.coordinates") / "data"
    for source, name in FILES.items():
        text = (data / source).read_bytes()
        if name == "names.txt":
            for found, meant in SPELLING.items():
                text = text.replace(found, meant)
        (args.out / name).write_bytes(text)


if __name__ == "__main__":
    main()
