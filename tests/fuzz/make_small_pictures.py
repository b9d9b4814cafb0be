#!/usr/bin/env python3
"""Makes the small pictures of corpus/pictures: a few pixels each, with a place on the sky.

FITS by its standard 4.0 (cards of 80 characters, a header padded to 2880 bytes; the data are not padded here,
which keeps them small), TIFF by its revision 6.0, the metadata as in corpus/xmp.
"""
import struct
from pathlib import Path

HERE = Path(__file__).parent
OUT = HERE / "corpus" / "pictures"


def card(keyword, value):
    if isinstance(value, str):
        value = f"'{value:<8}'"
    elif isinstance(value, bool):
        value = f"{'T' if value else 'F':>20}"
    else:
        value = f"{value:>20}"
    return f"{keyword:<8}= {value}".ljust(80)


def header(cards):
    text = "".join(card(*c) for c in cards) + "END".ljust(80)
    return text.ljust(-(-len(text) // 2880) * 2880).encode("ascii")


def place(width, height):
    return [
        ("CTYPE1", "RA---TAN"), ("CTYPE2", "DEC--TAN"), ("CRPIX1", (width + 1) / 2), ("CRPIX2", (height + 1) / 2),
        ("CRVAL1", 10.68), ("CRVAL2", 41.27), ("CD1_1", -0.001), ("CD1_2", 0.0), ("CD2_1", 0.0), ("CD2_2", 0.001),
    ]


def fits16():
    cards = [("SIMPLE", True), ("BITPIX", 16), ("NAXIS", 2), ("NAXIS1", 6), ("NAXIS2", 4), ("BZERO", 32768.0), ("BSCALE", 1.0)]
    return header(cards + place(6, 4)) + struct.pack(">24h", *range(-12, 12))


def fits_colours():
    cards = [("SIMPLE", True), ("BITPIX", -32), ("NAXIS", 3), ("NAXIS1", 3), ("NAXIS2", 2), ("NAXIS3", 3)]
    sip = [("CTYPE1", "RA---TAN-SIP"), ("CTYPE2", "DEC--TAN-SIP"), ("A_ORDER", 2), ("A_2_0", 1e-4), ("B_ORDER", 2), ("B_0_2", -1e-4)]
    return header(cards + sip + place(3, 2)[2:]) + struct.pack(">18f", *range(18))


def fits_extension():
    first = header([("SIMPLE", True), ("BITPIX", 8), ("NAXIS", 0), ("EXTEND", True)])
    # Only the cards that matter, in a second header as short as a header can be.
    cards = [("XTENSION", "IMAGE"), ("BITPIX", 8), ("NAXIS", 2), ("NAXIS1", 4), ("NAXIS2", 3), ("PCOUNT", 0), ("GCOUNT", 1)]
    return first + header(cards + place(4, 3)) + bytes(range(12))


def tiff():
    pixels = bytes(range(0, 192, 8))
    metadata = (HERE / "corpus" / "xmp" / "packet.xml").read_bytes()
    entries = [
        (256, 3, 1, 6), (257, 3, 1, 4), (258, 3, 1, 8), (259, 3, 1, 1), (262, 3, 1, 1), (273, 4, 1, 8), (277, 3, 1, 1),
        (278, 3, 1, 4), (279, 4, 1, 24), (700, 1, len(metadata), 32),
    ]
    directory = struct.pack("<H", len(entries))
    for tag, kind, count, value in entries:
        directory += struct.pack("<HHI", tag, kind, count) + (struct.pack("<HH", value, 0) if kind == 3 else struct.pack("<I", value))
    return b"II*\0" + struct.pack("<I", 32 + len(metadata)) + pixels + metadata + directory + bytes(4)


for name, data in [("plain16.fits", fits16()), ("colours32f_sip.fits", fits_colours()), ("extension8.fits", fits_extension()), ("grey8.tif", tiff())]:
    (OUT / name).write_bytes(data)
