"""
Writes tests/authorities/bodies-ephem.json: where PyEphem sees the Sun, the Moon and the naked-eye planets.
Run: /usr/bin/python3 scripts/authorities/bodies_ephem.py

Topocentric apparent altitude and azimuth, pressure 0; magnitude; lit share of the disc. PyEphem (libastro)
uses VSOP87 for the planets and its own table of TT - UT.
"""
import json, math, pathlib
import ephem
from skies import SKIES

BODIES = ["Sun", "Moon", "Mercury", "Venus", "Mars", "Jupiter", "Saturn"]
rows = []
for utc, lat, lon, height in SKIES:
    site = ephem.Observer()
    site.lat, site.lon, site.elevation, site.pressure = math.radians(lat), math.radians(lon), height, 0
    site.date = utc.replace("-", "/").replace("T", " ")
    row = {"utc": utc + "Z", "latDeg": lat, "lonDeg": lon, "elevationM": height, "deltaT": round(ephem.delta_t(site.date), 2), "bodies": {}}
    for name in BODIES:
        body = getattr(ephem, name)(site)
        row["bodies"][name.lower()] = {
            "azimuthDeg": round(math.degrees(body.az), 6), "altitudeDeg": round(math.degrees(body.alt), 6),
            "magnitude": body.mag, "lit": round(body.phase / 100, 5),
        }
    rows.append(row)
out = {"source": f"PyEphem {ephem.__version__} (Debian python3-ephem)", "madeBy": "scripts/authorities/bodies_ephem.py", "skies": rows}
target = pathlib.Path(__file__).parents[2] / "tests/authorities/bodies-ephem.json"
target.write_text(json.dumps(out, separators=(",", ":")).replace('{"utc"', '\n{"utc"') + "\n")
print(target.stat().st_size, "bytes")
