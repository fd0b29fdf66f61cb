#!/usr/bin/python3
"""Writes tests/authorities/motion-erfa.json: where ERFA puts fast bright stars in 1900, 2026 and 2100.

Run by hand:  /usr/bin/python3 scripts/authorities/motion_erfa.py
Input: Hipparcos places and rates of the stars (ESA 1997, CDS I/239) as python3-ephem prints them, RA rate
with cos(dec). ERFA's pmsafe wants the RA rate without cos(dec), so the convention is settled here by another
hand than ours. No radial velocity, no parallax: the motion across the sky alone.
"""

import json
import math
import pathlib

import erfa

# name, HIP, RA deg, Dec deg, RA rate * cos(dec) mas/yr, Dec rate mas/yr (ephem.stars 4.1.4)
STARS = [
    ("Rigil Kentaurus", 71683, 14.66013779 * 15, -60.83397588, -3678.19, 481.84),
    ("Arcturus", 69673, 14.26102001 * 15, 19.18241038, -1093.45, -1999.4),
    ("Sirius", 32349, 6.75247697 * 15, -16.71611569, -546.01, -1223.08),
    ("Procyon", 37279, 7.65503283 * 15, 5.22499314, -716.57, -1034.58),
    ("Pollux", 37826, 7.75526397 * 15, 28.02619865, -625.69, -45.95),
    ("Altair", 97649, 19.84638864 * 15, 8.86832203, 536.82, 385.54),
    ("Caph", 746, 0.15296808 * 15, 59.14977950, 523.39, -180.42),
    ("Polaris", 11767, 2.53030100 * 15, 89.26410949, 44.22, -11.74),
]
MAS = math.radians(1 / 3.6e6)
J2000 = 2451545.0

rows = []
for name, hip, ra, dec, ra_rate, dec_rate in STARS:
    for year in (1900, 2026, 2100):
        out = erfa.pmsafe(
            math.radians(ra), math.radians(dec), ra_rate * MAS / math.cos(math.radians(dec)), dec_rate * MAS,
            0.0, 0.0, J2000, 0.0, J2000 + (year - 2000) * 365.25, 0.0,
        )
        rows.append({"name": name, "hip": hip, "year": year,
                     "raDeg": round(math.degrees(out[0]), 8), "decDeg": round(math.degrees(out[1]), 8)})
path = pathlib.Path(__file__).parents[2] / "tests/authorities/motion-erfa.json"
source = f"ERFA {erfa.__version__} (python3-erfa, Debian 12), pmsafe, by {pathlib.Path(__file__).name}"
path.write_text(json.dumps({"source": source, "rows": rows}, indent=1) + "\n", encoding="utf-8")
