#!/usr/bin/env python3
"""Write boundaries_b1875.txt and names.txt from the data that the Python package `astropy` carries.

    python -m venv venv && venv/bin/pip install astropy==8.0.2
    venv/bin/python make_constellations.py OUT_FOLDER

Both files are copied byte for byte.
"""
import argparse
import importlib.resources
import pathlib

FILES = {
    "constellation_data_roman87.dat": "boundaries_b1875.txt",
    "constellation_names.dat": "names.txt",
}


def main():
    ap = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ap.add_argument("out", type=pathlib.Path, help="folder to write into")
    args = ap.parse_args()
    data = importlib.resources.files("astropy.coordinates") / "data"
    for source, name in FILES.items():
        (args.out / name).write_bytes((data / source).read_bytes())


if __name__ == "__main__":
    main()
