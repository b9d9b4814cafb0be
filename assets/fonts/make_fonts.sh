#!/bin/sh
# Cuts Noto Sans down to the characters the program shows, adds the arrows, mathematical signs
# and shapes it lacks from Noto Sans Math and Noto Sans Symbols 2, and writes two weights beside
# this script. Needs fonttools (`pip install fonttools`) and a folder that holds the four fonts
# (Debian: fonts-noto-core and fonts-noto-extra, 20201225-1).
#
#     ./make_fonts.sh FOLDER
#
# Layout tables go: neither the screen nor the picture painter kerns or joins letters then, so a
# line of text is equally long in both. The digits of Noto Sans are tabular as they are.
set -eu
[ $# -eq 1 ] || { echo "usage: $0 FOLDER_WITH_NOTO_SANS" >&2; exit 2; }
here=$(cd "$(dirname "$0")" && pwd)
parts=$(mktemp -d)
trap 'rm -r "$parts"' EXIT
# The date in the font header is that of the source fonts, so the same bytes come out again.
export SOURCE_DATE_EPOCH=1608854400

cut() {
    pyftsubset "$1" --unicodes="$2" --output-file="$3" --layout-features='' \
        --drop-tables+=GSUB,GPOS,GDEF,MATH --no-hinting --notdef-outline --name-IDs='*'
}

# Latin with its extensions, spacing modifiers, Greek, Cyrillic, punctuation with the primes,
# super- and subscripts, currencies, letter-like signs, fractions.
letters="U+0020-007E,U+00A0-024F,U+02B0-02FF,U+0370-03FF,U+0400-04FF,U+1E00-1EFF"
letters="$letters,U+2000-206F,U+2070-209F,U+20A0-20BF,U+2100-214F,U+2150-215F,U+FFFD"
# Arrows; empty set, minus, root, infinity, about, unequal, at most, at least.
signs="U+2190-2199,U+21BA,U+21BB,U+2205,U+2212,U+221A,U+221E,U+2248,U+2260,U+2264,U+2265"
# Squares, triangles, diamonds, discs; Sun, warning, tick, cross.
shapes="U+25A0,U+25A1,U+25B2-25BF,U+25C6,U+25C7,U+25CB,U+25CF,U+2609,U+26A0,U+2713,U+2715"

cut "$1/NotoSansMath-Regular.ttf" "$signs" "$parts/signs.ttf"
cut "$1/NotoSansSymbols2-Regular.ttf" "$shapes" "$parts/shapes.ttf"
for weight in Regular SemiBold; do
    cut "$1/NotoSans-$weight.ttf" "$letters" "$parts/letters.ttf"
    pyftmerge --output-file="$parts/merged.ttf" \
        "$parts/letters.ttf" "$parts/signs.ttf" "$parts/shapes.ttf"
    # Merging takes the tallest line of the three; the letters' own is wanted.
    python3 - "$parts/letters.ttf" "$parts/merged.ttf" "$here/NotoSans-$weight.ttf" <<'PYTHON'
import sys
from fontTools.ttLib import TTFont

letters, merged = TTFont(sys.argv[1]), TTFont(sys.argv[2])
for table, fields in {
    "hhea": ["ascent", "descent", "lineGap"],
    "OS/2": ["sTypoAscender", "sTypoDescender", "sTypoLineGap", "usWinAscent", "usWinDescent"],
}.items():
    for field in fields:
        setattr(merged[table], field, getattr(letters[table], field))
merged.save(sys.argv[3])
PYTHON
done
