"""Declinations of WMM2025 over the Earth, worked out by GeographicLib's MagneticField (another program's spherical harmonics).

Run: python3 scripts/authorities/declination_geographiclib.py  (Debian package geographiclib-tools)
Writes tests/authorities/declination-geographiclib.json. The coefficients are those of the npm package magvar, written as the
file that GeographicLib reads; that they are the official ones is what the official test values show (tests/survey/bearing.test.ts).
"""
import json
import pathlib
import re
import struct
import subprocess
import tempfile

SOURCE = pathlib.Path("node_modules/magvar/src/WMMCOF2025.js").read_text()
N = 12
META = """WMMF-2
Name wmm2025
Description World Magnetic Model 2025
ReleaseDate 2024-12-17
Radius 6371200
NumModels 1
Epoch 2025
DeltaEpoch 5
MinTime 2025
MaxTime 2030
MinHeight -1000
MaxHeight 850000
Normalization schmidt
ByteOrder little
ID WMM2025A
"""


def table(name):
    """Rows of degree n, columns of order m."""
    body = re.search(rf"const {name} = (\[.*?\n\]);", SOURCE, re.S).group(1)
    return json.loads(body)


def block(g, h):
    """Degree and order, then C and S column by column; S has no order 0."""
    places = [(n, m) for m in range(N + 1) for n in range(m, N + 1)]
    c = [g[n][m] for n, m in places]
    s = [h[n][m] for n, m in places if m > 0]
    return struct.pack(f"<2i{len(c)}d{len(s)}d", N, N, *c, *s)


with tempfile.TemporaryDirectory() as folder:
    path = pathlib.Path(folder)
    (path / "wmm2025.wmm").write_text(META)
    cof = b"WMM2025A" + block(table("gnmWmm"), table("hnmWmm")) + block(table("gtnmWmm"), table("htnmWmm"))
    (path / "wmm2025.wmm.cof").write_bytes(cof)
    asked = [(y, lat, lon) for y in (2025.0, 2027.3, 2029.9) for lat in range(-75, 76, 15) for lon in range(-165, 181, 30)]
    lines = "\n".join(f"{y} {lat} {lon} 0" for y, lat, lon in asked)
    command = ["MagneticField", "-n", "wmm2025", "-d", folder, "-p", "6"]
    told = subprocess.run(command, input=lines, capture_output=True, text=True, check=True).stdout
    # declination, inclination, horizontal, north, east, down, total
    rows = [[y, lat, lon, float(line.split()[0])] for (y, lat, lon), line in zip(asked, told.splitlines(), strict=True)]
version = subprocess.run(["MagneticField", "--version"], capture_output=True, text=True).stdout.strip()
note = f"declination in degrees at sea level, WMM2025; {version}; scripts/authorities/declination_geographiclib.py"
out = {"source": note, "columns": ["year", "latDeg", "lonDeg", "declinationDeg"], "rows": rows}
pathlib.Path("tests/authorities/declination-geographiclib.json").write_text(json.dumps(out).replace("], [", "],\n[") + "\n")
print(version, len(rows))
