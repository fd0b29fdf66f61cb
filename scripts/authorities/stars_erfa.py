"""
Writes tests/authorities/stars-erfa.json: where ERFA (the open astronomy library derived from the IAU's SOFA)
sees some sixty bright stars in eighteen skies. Run: /usr/bin/python3 scripts/authorities/stars_erfa.py

Stars and proper motions: PyEphem's list. ERFA's atco13 with dut1 = 0, polar motion 0, parallax 0, radial
velocity 0, pressure 0 (no refraction). Stars nearer than 5 degrees to the Sun are left out: ERFA bends
their light, we do not. UTC before 1960 and far ahead has no leap seconds on record; ERFA calls those years
dubious and goes on, which changes TT by a minute and places by less than 0.001".
"""
import json, math, pathlib, warnings
import ephem, ephem.stars, erfa
from skies import SKIES

warnings.simplefilter("ignore")
MAS = math.pi / 648_000_000
for star in ephem.stars.stars.values():
    star.compute("2000/1/1 12:00", epoch="2000")
stars = []
for name, star in sorted(ephem.stars.stars.items(), key=lambda item: item[1].mag):
    near_pole = abs(star._dec) > math.radians(60)
    if len(stars) < 60 or near_pole:
        pm_ra, pm_dec = star._pmra, star._pmdec  # mas a year, cosine of the declination included
        stars.append((name, float(star._ra), float(star._dec), pm_ra, pm_dec))

rows = []
for utc, lat, lon, height in SKIES:
    y, mo, d, h, mi, s = [int(x) for x in utc.replace("T", "-").replace(":", "-").split("-")]
    utc1, utc2 = erfa.dtf2d("UTC", y, mo, d, h, mi, s)
    tai1, tai2 = erfa.utctai(utc1, utc2)
    tt1, tt2 = erfa.taitt(tai1, tai2)
    heliocentric, _ = erfa.epv00(tt1, tt2)
    sun = -heliocentric["p"] / math.sqrt(sum(heliocentric["p"] ** 2))
    seen = []
    for name, ra, dec, pm_ra, pm_dec in stars:
        direction = erfa.s2c(ra, dec)
        if math.degrees(math.acos(min(1, float(sun @ direction)))) < 5:
            seen.append(None)
            continue
        az, zenith, *_ = erfa.atco13(
            ra, dec, pm_ra * MAS / math.cos(dec), pm_dec * MAS, 0, 0,
            utc1, utc2, 0, math.radians(lon), math.radians(lat), height, 0, 0, 0, 0, 0, 0.55,
        )
        seen.append([round(math.degrees(az), 7), round(90 - math.degrees(zenith), 7)])
    rows.append({"utc": utc + "Z", "latDeg": lat, "lonDeg": lon, "elevationM": height, "azimuthAltitudeDeg": seen})

out = {
    "source": f"ERFA {erfa.version.erfa_version} through python3-erfa {erfa.__version__}, function atco13",
    "madeBy": "scripts/authorities/stars_erfa.py",
    "stars": [
        {"name": n, "raDeg": round(math.degrees(a), 9), "decDeg": round(math.degrees(d), 9),
         "pmRaMasPerYear": p, "pmDecMasPerYear": q} for n, a, d, p, q in stars
    ],
    "skies": rows,
}
target = pathlib.Path(__file__).parents[2] / "tests/authorities/stars-erfa.json"
text = json.dumps(out, indent=None, separators=(",", ":"), ensure_ascii=False)
target.write_text(text.replace('{"name"', '\n{"name"').replace('{"utc"', '\n{"utc"') + "\n")
print(len(stars), "stars", len(SKIES), "skies", target.stat().st_size, "bytes")
