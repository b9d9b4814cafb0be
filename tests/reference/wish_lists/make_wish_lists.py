"""Makes the lists of targets beside it with astropy, for tests of the readers.

    python make_wish_lists.py OUT

Places are J2000/ICRS and sizes full axes in arcminutes, rounded, from the open data set in assets/;
"Rim patch" and "Дымка" are invented. The same bytes each time on the same versions, which VERSIONS.txt has.
"""

import platform
import sys
from pathlib import Path

import astropy
import numpy as np
from astropy import units as u
from astropy.coordinates import SkyCoord
from astropy.io.votable import from_table
from astropy.table import MaskedColumn, Table

NAMES = ["M 31", "NGC 7000", "Rim patch", "Дымка", "M 57", "No Such Thing"]
RA = np.array([10.684792, 314.82125, 83.822083, 201.365063, 283.396250, np.nan])
DEC = np.array([41.269056, 44.5289, -5.391111, -43.019113, 33.029167, np.nan])
MAJOR = np.array([190.0, 120.0, 65.5, 25.7, 1.4, np.nan])
MINOR = np.array([62.0, 30.0, 60.0, np.nan, 1.0, np.nan])
PA = np.array([35.0, np.nan, 120.0, np.nan, np.nan, np.nan])


def votable(table, path, kind):
    """Gives the columns their UCDs, which astropy's tables have no place for."""
    file = from_table(table)
    ucds = {
        "designation": "meta.id;meta.main",
        "lon": "pos.eq.ra;meta.main",
        "lat": "pos.eq.dec;meta.main",
        "pos_error": "stat.error;pos.eq.ra",
        "major_axis": "phys.angSize",
        "minor_axis": "phys.angSize",
        "orient": "pos.posAng",
    }
    for field in file.get_first_table().fields:
        field.ucd = ucds.get(field.name)
    file.get_first_table().format = kind
    file.to_xml(str(path))


def main(out):
    masked = lambda values: MaskedColumn(values, mask=np.isnan(values))
    table = Table()
    # Names that say nothing, so that only the UCDs lead to the columns; the error comes first.
    table["pos_error"] = MaskedColumn(np.full(6, 0.1, dtype="f4"), unit=u.arcsec)
    table["designation"] = NAMES
    table["lon"] = masked(RA)
    table["lon"].unit = u.deg
    table["lat"] = masked(DEC)
    table["lat"].unit = u.deg
    table["flag"] = np.array([1, 2, 3, 4, 5, 6], dtype="i4")
    table["major_axis"] = masked(MAJOR / 60.0)
    table["major_axis"].unit = u.deg
    table["minor_axis"] = masked(MINOR)
    table["minor_axis"].unit = u.arcmin
    table["orient"] = masked(np.radians(PA))
    table["orient"].unit = u.rad
    for kind in ["tabledata", "binary", "binary2"]:
        votable(table, out / f"astropy_{kind}.xml", kind)

    # The same as sexagesimal text: CSV with semicolons and decimal commas, and TSV.
    seen = ~np.isnan(RA)
    places = SkyCoord(RA[seen], DEC[seen], unit="deg")
    rows = Table()
    rows["Object"] = np.array(NAMES)[seen]
    rows["RA (h:m:s)"] = places.ra.to_string(u.hour, sep=":", precision=4, pad=True)
    rows["Dec (d:m:s)"] = places.dec.to_string(u.deg, sep=":", precision=3, pad=True, alwayssign=True)
    rows["Major axis (arcmin)"] = MAJOR[seen]
    rows["PA"] = masked(PA)[seen]
    rows.write(out / "astropy_sexagesimal.tsv", format="ascii.fast_tab", overwrite=True)
    decimal = Table()
    comma = lambda values: ["" if np.isnan(value) else repr(float(value)).replace(".", ",") for value in values]
    decimal["Name"] = np.array(NAMES)
    decimal["RA [deg]"] = comma(RA)
    decimal["Decl. [deg]"] = comma(DEC)
    decimal["Size [arcmin]"] = comma(MAJOR)
    decimal.write(out / "astropy_decimal_comma.csv", format="ascii.csv", delimiter=";", overwrite=True)

    versions = f"astropy {astropy.__version__}\nnumpy {np.__version__}\nPython {platform.python_version()}\n"
    (out / "VERSIONS.txt").write_text(versions)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
