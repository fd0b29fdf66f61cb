"""
Writes tests/authorities/civil-time.json: civil times read by Python's zoneinfo with the system's IANA data.
Run: /usr/bin/python3 scripts/authorities/civil_time.py

fold 0 is the earlier, fold 1 the later of two times that a clock showed alike.
"""
import json, pathlib, zoneinfo
from datetime import datetime, timedelta, timezone

CASES = [
    ("2031-02-14T21:00:00", "Europe/Vienna"), ("2026-07-01T00:00:00", "America/New_York"),
    ("2026-01-15T12:34:56", "Asia/Kathmandu"), ("1986-01-01T12:00:00", "Asia/Kathmandu"),
    ("2026-06-30T23:59:59", "Australia/Lord_Howe"), ("2026-12-31T23:00:00", "Australia/Lord_Howe"),
    ("2026-03-28T12:00:00", "America/St_Johns"), ("2011-12-29T12:00:00", "Pacific/Apia"),
    ("2011-12-31T12:00:00", "Pacific/Apia"), ("1994-12-30T12:00:00", "Pacific/Kiritimati"),
    ("1995-01-02T12:00:00", "Pacific/Kiritimati"), ("2016-08-01T12:00:00", "Asia/Pyongyang"),
    ("2014-07-01T12:00:00", "Europe/Moscow"), ("2015-07-01T12:00:00", "Europe/Moscow"),
    ("2010-07-01T12:00:00", "Europe/Moscow"), ("1978-07-01T12:00:00", "Europe/Berlin"),
    ("1981-07-01T12:00:00", "Europe/Berlin"), ("1970-07-01T12:00:00", "Europe/London"),
    ("1972-01-01T12:00:00", "Africa/Monrovia"), ("1971-12-01T12:00:00", "Africa/Monrovia"),
    ("2026-05-01T12:00:00", "Africa/Casablanca"), ("2026-06-01T12:00:00", "America/Sao_Paulo"),
    ("2018-12-01T12:00:00", "America/Sao_Paulo"), ("2022-07-01T12:00:00", "America/Mexico_City"),
    ("2023-07-01T12:00:00", "America/Mexico_City"), ("1999-12-31T23:59:59", "UTC"),
    ("2024-02-29T23:30:00", "Pacific/Chatham"), ("2099-07-01T12:00:00", "Europe/Paris"),
    ("1943-07-01T12:00:00", "America/Los_Angeles"), ("1945-07-15T12:00:00", "Europe/Berlin"),
    ("1941-07-01T12:00:00", "Europe/London"), ("1900-01-01T00:00:00", "Europe/Vienna"),
    ("1880-06-01T12:00:00", "America/New_York"),
    ("2026-10-25T02:30:00", "Europe/Vienna"), ("2026-11-01T01:15:00", "America/New_York"),
    ("2026-04-05T01:45:00", "Australia/Lord_Howe"), ("2007-11-04T01:30:00", "America/Chicago"),
]
rows = []
for local, zone in CASES:
    info = zoneinfo.ZoneInfo(zone)
    at = [datetime.fromisoformat(local).replace(tzinfo=info, fold=fold) for fold in (0, 1)]
    utc = [(a - a.utcoffset()).replace(tzinfo=timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ") for a in at]
    rows.append({"local": local, "zone": zone, "earlier": utc[0], "later": utc[1]})
version = pathlib.Path("/usr/share/zoneinfo/tzdata.zi").read_text().splitlines()[0]
out = {"source": f"Python zoneinfo, IANA data {version}", "madeBy": "scripts/authorities/civil_time.py", "times": rows}
target = pathlib.Path(__file__).parents[2] / "tests/authorities/civil-time.json"
target.write_text(json.dumps(out).replace('{"local"', '\n{"local"') + "\n")
print(len(rows), version)
