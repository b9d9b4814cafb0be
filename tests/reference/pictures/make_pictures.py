"""Small pictures with stars at known places, written by libraries that the project does not use.

    pip install astropy==8.0.2 numpy pillow pyavm==0.9.9
    python make_pictures.py

astropy.wcs (wcslib) says where each pixel lies, astropy.io.fits, Pillow and pyavm write the files, ImageMagick
(`convert`) the interlaced one.
`stars.csv` names for every file the stars in it: right ascension and declination in degrees (ICRS),
and the pixel as FITS counts them. Nothing here was made with the project's own code.
"""
import csv
import os
import subprocess
import sys

import astropy
import numpy as np
import PIL
import pyavm
from astropy.io import fits
from astropy.wcs import WCS, Sip
from PIL import Image, TiffImagePlugin

MAGICK = subprocess.run(["convert", "-version"], capture_output=True, text=True).stdout.split()[2]
HERE = os.path.dirname(os.path.abspath(__file__))
W, H, SIGMA = 120, 90, 1.8
# FITS pixels: middle of the first one is 1, y up.
STARS = [(20.3, 15.8), (101.6, 20.4), (60.5, 45.5), (18.9, 74.2), (97.1, 70.7)]
rows = []


def path(name):
    return os.path.join(HERE, name)


def picture(peak, sky, y_up=True):
    """Stars on an even sky; the first row is the bottom one if y_up."""
    y, x = np.mgrid[1:H + 1, 1:W + 1].astype(float)
    out = np.full((H, W), float(sky))
    for px, py in STARS:
        out += peak * np.exp(-((x - px) ** 2 + (y - py) ** 2) / (2 * SIGMA**2))
    return out if y_up else out[::-1]


def tan(ra, dec, scale, rotation, mirrored=False, crpix=((W + 1) / 2, (H + 1) / 2), swapped=False):
    """TAN by CD matrix: the picture's up direction at that position angle."""
    wcs = WCS(naxis=2)
    wcs.wcs.ctype = ["RA---TAN", "DEC--TAN"]
    wcs.wcs.crpix = crpix
    wcs.wcs.crval = [ra, dec]
    wcs.wcs.cunit = ["deg", "deg"]
    wcs.wcs.lonpole = 180.0
    s, c = np.sin(np.radians(rotation)), np.cos(np.radians(rotation))
    right = np.array([-c, s]) * (-1 if mirrored else 1)
    wcs.wcs.cd = np.array([[right[0], s], [right[1], c]]) * scale / 3600
    wcs.wcs.radesys = "ICRS"
    if swapped:
        wcs = wcs.swapaxes(0, 1)
        wcs.wcs.crpix = crpix
        # swapaxes turns the pixel axes too; only those of the sky are meant.
        wcs.wcs.cd = wcs.wcs.cd[:, ::-1]
    wcs.wcs.set()
    return wcs


def note(name, wcs):
    for x, y in STARS:
        place = wcs.all_pix2world([[x, y]], 1)[0]
        place = place[::-1] if wcs.wcs.ctype[0].startswith("DEC") else place
        rows.append([name, repr(float(place[0])), repr(float(place[1])), x, y])


def write_fits(name, hdus, wcs):
    fits.HDUList(hdus).writeto(path(name), overwrite=True)
    note(name, wcs)


def header(wcs):
    return wcs.to_header(relax=True)


# 16 bits, unsigned by BZERO, CD matrix written out.
wcs = tan(83.8, 59.3, 30.0, 33.0)
hdu = fits.PrimaryHDU(picture(30000, 900).astype(np.uint16))
hdu.header.update({"CTYPE1": "RA---TAN", "CTYPE2": "DEC--TAN", "CRVAL1": 83.8, "CRVAL2": 59.3,
                   "CRPIX1": (W + 1) / 2, "CRPIX2": (H + 1) / 2, "RADESYS": "ICRS"})
for i in (1, 2):
    for j in (1, 2):
        hdu.header[f"CD{i}_{j}"] = wcs.wcs.cd[i - 1][j - 1]
write_fits("unsigned16.fits", [hdu], wcs)

# 32-bit floating point, three colours, mirrored, blank border, close to the pole, PC matrix.
wcs = tan(211.0, 89.5, 30.0, 250.0, mirrored=True)
cube = np.stack([picture(k, 0.1) for k in (1.0, 0.8, 0.6)]).astype(np.float32)
cube[:, :6, :] = np.nan
write_fits("colours32f.fits", [fits.PrimaryHDU(cube, header(wcs))], wcs)

# In an extension behind an empty part and a table, 8 bits with scaling and blanks, CROTA2.
wcs = tan(0.02, -42.0, 30.0, -75.0)
data = np.clip(picture(200, 20), 0, 250).astype(np.uint8)
data[-6:, :] = 255
hdu = fits.ImageHDU(data)
hdu.header.update({"BLANK": 255, "BSCALE": 2.0, "BZERO": 10.0, "CTYPE1": "RA---TAN",
                   "CTYPE2": "DEC--TAN", "CRVAL1": 0.02, "CRVAL2": -42.0, "CRPIX1": (W + 1) / 2,
                   "CRPIX2": (H + 1) / 2, "CDELT1": -30 / 3600, "CDELT2": 30 / 3600, "CROTA2": 75.0})
check = WCS(hdu.header)
assert np.allclose(check.all_pix2world([[3, 7]], 1), wcs.all_pix2world([[3, 7]], 1), atol=1e-9)
table = fits.BinTableHDU.from_columns([fits.Column(name="a", format="D", array=np.arange(5.0))])
write_fits("extension8.fits", [fits.PrimaryHDU(), table, hdu], wcs)
# astropy writes BSCALE and BZERO out of an image's header when it scales; these are stored numbers.
with fits.open(path("extension8.fits"), mode="update", do_not_scale_image_data=True) as again:
    again[2].header["BSCALE"], again[2].header["BZERO"], again[2].header["BLANK"] = 2.0, 10.0, 255

# 64-bit floating point, SIP distortion.
wcs = tan(150.0, 20.0, 30.0, 140.0)
a, b = np.zeros((4, 4)), np.zeros((4, 4))
a[2, 0], a[0, 2], a[1, 2], b[1, 1], b[0, 3] = 4e-4, -3e-4, 2e-6, 5e-4, 3e-6
wcs.sip = Sip(a, b, None, None, wcs.wcs.crpix)
wcs.wcs.ctype = ["RA---TAN-SIP", "DEC--TAN-SIP"]
write_fits("sip64f.fits", [fits.PrimaryHDU(picture(1.0, 0.02), header(wcs))], wcs)

# 32 bits, declination on the first axis, reference pixel outside the picture.
wcs = tan(310.2, 44.3, 30.0, 12.0, crpix=(-200.0, 300.0), swapped=True)
write_fits("swapped32.fits", [fits.PrimaryHDU(picture(1e6, 1e4).astype(np.int32), header(wcs))], wcs)

# 16 bits, the native longitude of the pole as a parameter of the second axis, which is right
# ascension here and goes before LONPOLE.
hdu = fits.PrimaryHDU(picture(20000, 500).astype(np.int16))
hdu.header.update({"CTYPE1": "DEC--TAN", "CTYPE2": "RA---TAN", "CRVAL1": -12.0, "CRVAL2": 35.0,
                   "CRPIX1": 40.0, "CRPIX2": 30.0, "CDELT1": 30 / 3600, "CDELT2": -30 / 3600,
                   "PV2_1": 0.0, "PV2_2": 90.0, "PV2_3": 137.0, "PV2_4": -12.0, "LONPOLE": 170.0,
                   "RADESYS": "ICRS"})
wcs = WCS(hdu.header)
assert wcs.wcs.lonpole == 137.0
write_fits("native_pole.fits", [hdu], wcs)

# PNG, JPEG and TIFF with AVM, and a JPEG with a header beside it. The top row comes first.
def embed(name, wcs):
    avm = pyavm.AVM.from_wcs(wcs, shape=(H, W))
    avm.embed(path("plain" + os.path.splitext(name)[1]), path(name))
    note(name, wcs)


grey = np.clip(picture(230, 15, y_up=False), 0, 255).astype(np.uint8)
colour = np.stack([grey, (grey * 0.8).astype(np.uint8), (grey * 0.6).astype(np.uint8)], -1)
Image.fromarray(colour).save(path("plain.png"))
Image.fromarray(colour).save(path("plain.jpg"), quality=95)
embed("avm.png", tan(49.0, -68.0, 30.0, 200.0))
embed("avm.jpg", tan(266.4, -29.0, 30.0, 300.0))
# As in a mirror: both scales are below zero.
embed("avm_mirrored.png", tan(77.0, 33.0, 30.0, 20.0, mirrored=True))
wide = np.clip(picture(230, 15, y_up=False) * 257, 0, 65535).astype(np.uint16)
wcs = tan(120.0, 5.0, 30.0, 60.0)
info = TiffImagePlugin.ImageFileDirectory_v2()
info[700] = pyavm.AVM.from_wcs(wcs, shape=(H, W)).to_xml()
info.tagtype[700] = TiffImagePlugin.TiffTags.BYTE
Image.fromarray(wide).save(path("avm16.tif"), tiffinfo=info)
note("avm16.tif", wcs)
wcs = tan(201.0, 47.0, 30.0, 100.0)
os.replace(path("plain.jpg"), path("beside.jpg"))
full = header(wcs)
full["NAXIS1"], full["NAXIS2"] = W, H
full.totextfile(path("beside.hdr"), endcard=True, overwrite=True)
note("beside.jpg", wcs)
os.remove(path("plain.png"))

# The picture of avm.png with its rows in seven passes; the metadata stands in front of the pixels again.
subprocess.run(["convert", path("avm.png"), "-strip", "-interlace", "PNG", path("plain.png")], check=True)
with open(path("avm.png"), "rb") as whole, open(path("plain.png"), "rb") as passes:
    whole, passes = whole.read(), passes.read()
text = whole.index(b"iTXt") - 4
text = whole[text:text + 12 + int.from_bytes(whole[text:text + 4], "big")]
with open(path("avm_interlaced.png"), "wb") as out:
    out.write(passes[:33] + text + passes[33:])
os.remove(path("plain.png"))

# A JPEG that comes in several scans, large enough to be stopped between them. It is nowhere on the sky.
noise = np.random.default_rng(1).integers(0, 256, (180, 240), dtype=np.uint8)
Image.fromarray(noise).save(path("progressive.jpg"), quality=90, progressive=True)

with open(path("stars.csv"), "w", newline="") as out:
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["file", "ra_deg", "dec_deg", "fits_x_px", "fits_y_px"])
    writer.writerows(rows)
with open(path("VERSIONS.txt"), "w") as out:
    out.write(f"python {sys.version.split()[0]}\nastropy {astropy.__version__}\n"
              f"numpy {np.__version__}\npillow {PIL.__version__}\npyavm {pyavm.__version__}\n"
              f"imagemagick {MAGICK}\n")
