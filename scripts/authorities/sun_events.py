"""
Writes tests/authorities/sun-events-ephem.json: when PyEphem sees the Sun's centre pass -0.833, -6, -12 and
-18 degrees before and after a midnight. Run: /usr/bin/python3 scripts/authorities/sun_events.py
"""
import json, math, pathlib
import ephem

NIGHTS = [
    ("2026/6/20 23:00", 48.2082, 16.3738), ("2026/12/20 12:00", 0.0, 180.0), ("1926/4/20 22:30", 60.2, 24.9),
    ("1905/1/10 03:00", 40.7, -74.0), ("2080/10/3 13:30", -33.9, 151.2), ("2024/2/29 06:00", -43.5, -90.0),
]
LEVELS = {"horizon": -0.833, "civil": -6, "nautical": -12, "astronomical": -18}
rows = []
for date, lat, lon in NIGHTS:
    row = {"latDeg": lat, "lonDeg": lon, "midnight": ephem.Date(date).datetime().strftime("%Y-%m-%dT%H:%M:%SZ"), "evening": {}, "morning": {}}
    for name, level in LEVELS.items():
        site = ephem.Observer()
        site.lat, site.lon, site.pressure, site.date, site.horizon = math.radians(lat), math.radians(lon), 0, date, math.radians(level)
        for side, search in (("evening", site.previous_setting), ("morning", site.next_rising)):
            row[side][name] = search(ephem.Sun(), use_center=True).datetime().strftime("%Y-%m-%dT%H:%M:%SZ")
    rows.append(row)
out = {"source": f"PyEphem {ephem.__version__}", "madeBy": "scripts/authorities/sun_events.py", "nights": rows}
target = pathlib.Path(__file__).parents[2] / "tests/authorities/sun-events-ephem.json"
target.write_text(json.dumps(out).replace('{"latDeg"', '\n{"latDeg"') + "\n")
print(json.dumps(rows[0]))
