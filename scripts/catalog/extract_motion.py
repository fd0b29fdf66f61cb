#!/usr/bin/python3
"""Writes sources/motion.tsv: bright stars with proper motion, from the star list of Debian's python3-ephem.

Run by hand when the list is to be renewed:  /usr/bin/python3 scripts/catalog/extract_motion.py
The build itself reads only the table this leaves, so it needs no Debian package.

The list is in the "edb" format: name, f|S|class, RA hours|rate, Dec degrees|rate, magnitude, both rates in
milliarcseconds per Julian year, the RA rate already multiplied by cos(dec). Epoch and equinox J2000, ICRS.
Checked here against ephem's own arithmetic: a century of motion as ephem reckons it equals ours.
"""

import math
import pathlib

import ephem
import ephem.stars

OUT = pathlib.Path(__file__).parent / "sources" / "motion.tsv"
TOLERANCE_ARCSEC = 0.5  # over the century; ephem moves stars along RA and Dec, we along the tangent


def place(body, epoch):
    body.compute(epoch, epoch="2000")
    return math.degrees(body.a_ra), math.degrees(body.a_dec)


def separation_arcsec(a, b):
    return 3600 * math.degrees(ephem.separation(tuple(map(math.radians, a)), tuple(map(math.radians, b))))


def main():
    rows = {}
    for line in ephem.stars.db.splitlines():
        name, _, ra, dec, magnitude = line.split(",")
        ra_hours, ra_rate = map(float, ra.split("|"))
        dec_deg, dec_rate = map(float, dec.split("|"))
        start, end = (place(ephem.readdb(line), when) for when in ("2000/1/1 12:00", "2100/1/1 12:00"))
        moved = math.hypot(ra_rate, dec_rate) / 10  # mas a year -> arcsec a century
        if abs(separation_arcsec(start, end) - moved) > TOLERANCE_ARCSEC:
            raise SystemExit(f"{name}: ephem moves it {separation_arcsec(start, end)} arcsec, the rates say {moved}")
        # Several names stand for one star: the first in the list's order speaks for it.
        rows.setdefault((ra, dec), (name, f"{ra_hours * 15:.7f}", f"{dec_deg:.7f}", ra_rate, dec_rate, magnitude))
    with OUT.open("w", encoding="utf-8", newline="\n") as out:
        out.write(f"# {len(rows)} bright stars with proper motion, from ephem.stars of python3-ephem {ephem.__version__}\n")
        out.write("# (Debian 12). That list draws on the Hipparcos Catalogue, ESA 1997, CDS I/239.\n")
        out.write("# Package licence LGPL-3; the values are measured facts. Epoch J2000, ICRS.\n")
        out.write("# Rates in milliarcseconds per Julian year; the RA rate includes cos(dec).\n")
        out.write("name\traDeg\tdecDeg\traRateMas\tdecRateMas\tmagnitude\n")
        for row in rows.values():
            out.write("\t".join(map(str, row)) + "\n")
    print(f"{OUT}: {len(rows)} stars")


main()
