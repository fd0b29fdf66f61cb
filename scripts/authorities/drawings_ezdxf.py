"""Reflected ceiling plans written by ezdxf (another program's writer), each with the truth it was drawn from.

Run: /usr/bin/python3 scripts/authorities/drawings_ezdxf.py  (Debian package python3-ezdxf)
Writes tests/authorities/drawings/*.dxf and truth.json. Rooms and numbers are invented for these tests.
Truth is in mm on the plan of the room: lower left corner of its box at 0, tees along the axes.
"""
import json
import math
import pathlib

import ezdxf
from ezdxf.math import Matrix44

OUT = pathlib.Path("tests/authorities/drawings")
INSUNITS = {"in": 1, "ft": 2, "mm": 4, "cm": 5, "m": 6, None: 0}
MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


class Plan:
    """Draws in mm on the plan, and puts that into the drawing's unit, turned and far from the origin."""

    def __init__(self, name, version="R2000", unit="mm", stated="same", turn=0.0, at=(0.0, 0.0)):
        self.name, self.unit, self.turn, self.at = name, unit, turn, at
        self.doc = ezdxf.new(version)
        self.doc.header["$INSUNITS"] = INSUNITS[unit if stated == "same" else stated]
        self.space = self.doc.modelspace()
        self.truth = {"unit": unit, "turnDeg": turn, "noGo": [], "misfitMm": 0.1}

    def p(self, x, y):
        a = math.radians(self.turn)
        u = x * math.cos(a) - y * math.sin(a) + self.at[0]
        v = x * math.sin(a) + y * math.cos(a) + self.at[1]
        return (u / MM[self.unit], v / MM[self.unit])

    def size(self, mm):
        return mm / MM[self.unit]

    def layer(self, name, **flags):
        if name not in self.doc.layers:
            self.doc.layers.add(name)
        return name

    def polygon(self, layer, points, closed=True):
        self.layer(layer)
        self.space.add_lwpolyline([self.p(*q) for q in points], close=closed, dxfattribs={"layer": layer})

    def line(self, layer, a, b):
        self.layer(layer)
        self.space.add_line(self.p(*a), self.p(*b), dxfattribs={"layer": layer})

    def circle(self, layer, c, r):
        self.layer(layer)
        self.space.add_circle(self.p(*c), self.size(r), dxfattribs={"layer": layer})

    def tees(self, layer, w, h, origin, module, face=None):
        """Lines from wall to wall; with a face, both edges of every tee."""
        for axis in (0, 1):
            length = (w, h)[axis]
            k = math.ceil((0 - origin[axis]) / module[axis])
            while origin[axis] + k * module[axis] < length:
                at = origin[axis] + k * module[axis]
                for off in (0,) if face is None else (-face / 2, face / 2):
                    if 0 < at + off < length:
                        ends = ((at + off, 0), (at + off, h)) if axis == 0 else ((0, at + off), (w, at + off))
                        self.line(layer, *ends)
                k += 1

    def block(self, name):
        return self.doc.blocks.new(name)

    def insert(self, layer, name, at, **attribs):
        self.layer(layer)
        rotation = attribs.pop("rotation", 0) + self.turn
        self.space.add_blockref(name, self.p(*at), dxfattribs={"layer": layer, "rotation": rotation, **attribs})

    def room(self, w, h, origin, module, face=None):
        self.truth.update(widthMm=w, depthMm=h, originMm=origin, moduleMm=module, teeFaceMm=face)

    def thing(self, kind, **shape):
        self.truth["noGo"].append({"kind": kind, **shape})

    def save(self):
        self.doc.saveas(OUT / f"{self.name}.dxf")
        return {self.name: self.truth}


def layers_of_the_us_standard():
    """A plain room on standard layers, kilometres from the origin; nested, mirrored and arrayed blocks, loose lines."""
    d = Plan("standard-layers", at=(2_750_000.0, 1_320_000.0))
    w, h, origin = 6130, 4310, (265, 355)
    d.room(w, h, origin, (600, 600))
    d.polygon("A-CLNG-OTLN", [(0, 0), (w, 0), (w, h), (0, h)])
    d.tees("A-CLNG-GRID", w, h, origin, (600, 600))
    head = d.doc.blocks.new("HEAD", base_point=(10, 10))
    head.add_circle((10, 10), 45)
    for at in ((1165, 1255), (3565, 1255)):
        d.insert("F-SPRN", "HEAD", at, xscale=-1 if at[0] > 3000 else 1)
        d.thing("sprinkler", centreMm=at, radiusMm=45)
    light = d.block("TROFFER")
    light.add_lwpolyline([(0, 0), (1200, 0), (1200, 600), (0, 600)], close=True)
    pair = d.block("PAIR")
    pair.add_blockref("TROFFER", (0, 0))
    pair.add_blockref("TROFFER", (2400, 0), dxfattribs={"rotation": 90})
    d.insert("E-LITE", "PAIR", (865, 2155))
    d.thing("luminaire", cornerMm=(865, 2155), sizeMm=(1200, 600))
    d.thing("luminaire", cornerMm=(2665, 2155), sizeMm=(600, 1200))
    arrow = d.block("SPOT")
    arrow.add_lwpolyline([(0, 0), (200, 0), (200, 80), (0, 80)], close=True)
    d.insert("E-LITE", "SPOT", (4100, 3500), xscale=-1, column_count=3, column_spacing=300)
    for k in range(3):
        d.thing("luminaire", cornerMm=(3900 + 300 * k, 3500), sizeMm=(200, 80))
    x, y = 4465, 1555
    box = [(x, y), (x + 595, y), (x + 595, y + 595), (x, y + 595)]
    for a, b in ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)):
        d.line("M-HVAC-CDFF", box[a], box[b])
    d.thing("diffuser", cornerMm=(x, y), sizeMm=(595, 595))
    d.circle("F-PROT-SMOK", (2365, 3055), 60)
    d.thing("smoke-detector", centreMm=(2365, 3055), radiusMm=60)
    d.layer("A-FURN")
    d.circle("A-FURN", (3000, 2000), 400)
    d.doc.layers.get("A-FURN").freeze()
    d.space.add_text("Reading room", dxfattribs={"layer": "A-ANNO-TEXT"}).set_placement(d.p(2900, 2000))
    return d.save()


def turned_in_inches():
    """24 x 48 in tiles drawn in inches, turned by 17.3 degrees, each tee as the pair of its edges; a notched outline."""
    d = Plan("turned-inches", unit="in", turn=17.3, at=(-90_000.0, 40_000.0))
    w, h = 288 * 25.4, 180 * 25.4
    module, origin, face = (1219.2, 609.6), (700.0, 250.0), 23.8
    d.room(w, h, origin, module, face)
    n = 1000.0
    d.polygon("A-WALL", [(0, 0), (w, 0), (w, h - n), (w - n, h - n), (w - n, h), (0, h)])
    d.tees("A-CLNG-TEES", w - n, h - n, origin, module, face)
    d.circle("F-SPRN-CLHD", (1500, 1000), 41)
    d.thing("sprinkler", centreMm=(1500, 1000), radiusMm=41)
    d.polygon("E-LITE-EXIT", [(3000, 2000), (3355, 2000), (3355, 2150), (3000, 2150)])
    d.thing("exit-sign", cornerMm=(3000, 2000), sizeMm=(355, 150))
    return d.save()


def unit_said_wrong():
    """Drawn in mm, the header says inches; bulged corner, hatch as grid, ISO 13567 names."""
    d = Plan("wrong-unit", unit="mm", stated="in")
    w, h = 5000, 3750
    d.room(w, h, (0, 0), (625, 625))
    d.truth["originFree"] = True
    d.layer("A-27----E-")
    d.layer("A-35----E-")
    d.layer("A-63----E-")
    outline = [(0, 0, 0), (w, 0, 0), (w, h - 500, math.tan(math.pi / 8)), (w - 500, h, 0), (0, h, 0)]
    d.space.add_lwpolyline(outline, format="xyb", close=True, dxfattribs={"layer": "ROOM"})
    hatch = d.space.add_hatch(dxfattribs={"layer": "A-35----E-"})
    hatch.paths.add_polyline_path([(0, 0), (w, 0), (w, h), (0, h)], is_closed=True)
    hatch.set_pattern_definition([[0, (0, 0), (0, 625), []], [90, (0, 0), (-625, 0), []]])
    hatch.dxf.pattern_name = "GRID625"
    hatch.dxf.solid_fill = 0
    hatch.dxf.hatch_style = 0
    for k in range(4):
        d.circle("A-63----E-", (937.5 + 1250 * (k % 3), 937.5 + 1250 * (k // 3)), 75)
        d.thing("luminaire", centreMm=(937.5 + 1250 * (k % 3), 937.5 + 1250 * (k // 3)), radiusMm=75)
    return d.save()


def three_rooms_in_lines():
    """R12: walls as single lines that share corners, three rooms, no unit stated, metres."""
    d = Plan("three-rooms", version="R12", unit="m", stated=None)
    corners = [((0, 0), (12000, 0)), ((12000, 0), (12000, 5200)), ((12000, 5200), (0, 5200)), ((0, 5200), (0, 0))]
    for a, b in corners:
        d.line("WALLS", a, b)
    d.line("WALLS", (7000, 0), (7000, 5200))
    d.line("WALLS", (7000, 2400), (12000, 2400))
    names = {"Lounge": (3500, 2600), "Study": (9500, 1200), "Den": (9500, 3800)}
    for text, at in names.items():
        d.space.add_text(text, dxfattribs={"layer": "TEXT"}).set_placement(d.p(*at))
    for x0, y0, x1, y1 in ((0, 0, 7000, 5200), (7000, 0, 12000, 2400), (7000, 2400, 12000, 5200)):
        x = x0 + 500
        while x < x1:
            d.line("CEILING-GRID", (x, y0), (x, y1))
            x += 600
        y = y0 + 200
        while y < y1:
            d.line("CEILING-GRID", (x0, y), (x1, y))
            y += 600
    d.circle("LIGHTS", (8000, 1000), 50)
    d.truth.update(widthMm=5000, depthMm=2400, originMm=(500, 200), moduleMm=(600, 600), teeFaceMm=None, room="Study", rooms=3)
    d.thing("luminaire", centreMm=(1000, 1000), radiusMm=50)
    return d.save()


def mirrored_by_extrusion():
    """A block seen from behind (extrusion along -z) inside a mirrored block, a column, words that look like structure."""
    d = Plan("mirrored", unit="cm")
    w, h, origin = 4800, 4200, (0.0, 300.0)
    d.room(w, h, (600, 300), (600, 600))
    whole = d.block("PLAN")
    s = d.size
    for layer in ("RCP|A-CLNG-OTLN", "RCP|A-CLNG-GRID", "RCP|E-SPKR"):
        d.layer(layer.replace("|", "$0$"))
    whole.add_lwpolyline([(0, 0), (-s(w), 0), (-s(w), s(h)), (0, s(h))], close=True, dxfattribs={"layer": "RCP$0$A-CLNG-OTLN"})
    whole.add_lwpolyline(
        [(-s(2000), s(2000)), (-s(2300), s(2000)), (-s(2300), s(2300)), (-s(2000), s(2300))],
        close=True,
        dxfattribs={"layer": "RCP$0$A-CLNG-OTLN"},
    )
    for x in range(600, w, 600):
        whole.add_line((-s(x), 0), (-s(x), s(h)), dxfattribs={"layer": "RCP$0$A-CLNG-GRID"})
    for y in range(300, h, 600):
        whole.add_line((0, s(y)), (-s(w), s(y)), dxfattribs={"layer": "RCP$0$A-CLNG-GRID"})
    speaker = d.block("SPEAKER")
    speaker.add_circle((s(30), 0), s(100))
    speaker.add_text("BLOCK")
    whole.add_blockref("SPEAKER", (-s(1200), s(900)), dxfattribs={"layer": "RCP$0$E-SPKR"})
    # the block lies left of its base point; mirroring it about x = 0 brings it to the right
    d.space.add_blockref("PLAN", (0, 0), dxfattribs={"extrusion": (0, 0, -1)})
    d.thing("speaker", centreMm=(1170, 900), radiusMm=100)
    d.thing("other", cornerMm=(2000, 2000), sizeMm=(300, 300))
    return d.save()


def storey_in_nested_blocks():
    """
    Two rooms of a storey as a block turned by 90 degrees in a mirrored one, kilometres away; walls in two lines with a door left
    open; fittings loose in the block beside blocks of fittings; heads with crossed hairs; a column; names on tags (attributes).
    """
    d = Plan("nested-storey", version="R2010")
    w, h, origin = 4800, 6600, (300.0, 600.0)
    d.room(w, h, origin, (600, 600))
    for layer in ("A-WALL-FULL", "A-CLNG-SUSP", "E-LITE", "F-SPKL", "E-SMOK", "T-SPKR", "S-COLS", "A-ANNO-NAME"):
        d.layer(layer)
    # drawn lying, so that the room stands once the blocks have turned and mirrored it: (x, y) becomes (y, x)
    storey = d.block("STOREY")
    on = lambda layer, **more: {"dxfattribs": {"layer": layer, **more}}
    thick, door, side = 150, (2000, 2900), 3000

    def walls(a, b):
        storey.add_line(a, b, **on("A-WALL-FULL"))

    far = h + thick + side
    for a, b in (
        ((0, 0), (door[0], 0)),
        ((door[1], 0), (h, 0)),
        ((h, 0), (h, w)),
        ((h, w), (0, w)),
        ((0, w), (0, 0)),
        ((-thick, -thick), (door[0], -thick)),
        ((door[1], -thick), (far + thick, -thick)),
        ((far + thick, -thick), (far + thick, w + thick)),
        ((far + thick, w + thick), (-thick, w + thick)),
        ((-thick, w + thick), (-thick, -thick)),
        ((door[0], 0), (door[0], -thick)),
        ((door[1], 0), (door[1], -thick)),
        ((h + thick, 0), (far, 0)),
        ((far, 0), (far, w)),
        ((far, w), (h + thick, w)),
        ((h + thick, w), (h + thick, 0)),
    ):
        walls(a, b)
    for x in range(600, h, 600):
        storey.add_line((x, 0), (x, w), **on("A-CLNG-SUSP"))
    for y in range(300, w, 600):
        storey.add_line((0, y), (h, y), **on("A-CLNG-SUSP"))
    for x in range(h + thick + 300, far, 600):
        storey.add_line((x, 0), (x, w), **on("A-CLNG-SUSP"))
    storey.add_line((h + thick, 2100), (far, 2100), **on("A-CLNG-SUSP"))
    storey.add_line((h + thick, 2700), (far, 2700), **on("A-CLNG-SUSP"))
    light = d.block("LT")
    light.add_lwpolyline([(0, 0), (600, 0), (600, 300), (0, 300)], close=True)
    light.add_line((0, 0), (600, 300))
    storey.add_blockref("LT", (1200, 900), **on("E-LITE"))
    d.thing("luminaire", cornerMm=(900, 1200), sizeMm=(300, 600))
    head = d.block("PENDENT")
    head.add_circle((0, 0), 40)
    head.add_line((-70, 0), (70, 0))
    head.add_line((0, -70), (0, 70))
    for x, y in ((1500, 2400), (4500, 1800)):
        storey.add_blockref("PENDENT", (x, y), **on("F-SPKL", xscale=-1))
        d.thing("sprinkler", centreMm=(y, x), radiusMm=40)
    for x, y, layer, kind, r in (
        (3300, 1200, "T-SPKR", "speaker", 110),
        (5100, 3600, "T-SPKR", "speaker", 110),
        (2700, 3000, "E-SMOK", "smoke-detector", 55),
    ):
        storey.add_circle((x, y), r, **on(layer))
        d.thing(kind, centreMm=(y, x), radiusMm=r)
    storey.add_lwpolyline([(5700, 4000), (6050, 4000), (6050, 4300), (5700, 4300)], close=True, **on("S-COLS"))
    d.thing("other", cornerMm=(4000, 5700), sizeMm=(300, 350))
    tag = d.block("TAG")
    tag.add_attdef("NAME", (0, 0))
    for name, x in (("Workshop", 3300), ("Store", h + thick + 1500)):
        ref = storey.add_blockref("TAG", (x, 2400), **on("A-ANNO-NAME"))
        ref.add_attrib("NAME", name, (x, 2400), **on("A-ANNO-NAME"))
    turned = d.block("TURNED")
    turned.add_blockref("STOREY", (500, 900), dxfattribs={"rotation": 90})
    d.space.add_blockref("TURNED", (4_120_000.0, 655_000.0), dxfattribs={"xscale": -1})
    return d.save()


def names_of_no_system():
    """A column where the tees cross in the middle, main runners on a layer of their own, ticks at loose heads, names in capitals within."""
    d = Plan("no-system", at=(-40_000.0, 25_000.0))
    w, h, origin = 6600, 5400, (300, 150)
    d.room(w, h, origin, (600, 600))
    d.polygon("Partitions", [(0, 0), (w, 0), (w, h), (0, h)])
    d.polygon("Partitions", [(3100, 2500), (3500, 2500), (3500, 2900), (3100, 2900)])
    d.thing("other", cornerMm=(3100, 2500), sizeMm=(400, 400))
    for x in range(300, w, 600):
        d.line("Main Runners" if x % 1200 == 300 else "Cross Tees", (x, 0), (x, h))
    for y in range(150, h, 600):
        d.line("Cross Tees", (0, y), (w, y))
    for x in (1200, 4800):
        d.circle("SPKLR", (x, 1650), 40)
        for a, b in ((-70, 0), (70, 0), (0, -70), (0, 70)):
            d.line("SPKLR", (x, 1650), (x + a, 1650 + b))
        d.thing("sprinkler", centreMm=(x, 1650), radiusMm=40)
    d.circle("X-LightFittings", (2400, 3450), 75)
    d.thing("luminaire", centreMm=(2400, 3450), radiusMm=75)
    d.circle("X-PIRSensors", (4200, 3450), 45)
    d.thing("motion-detector", centreMm=(4200, 3450), radiusMm=45)
    return d.save()


def one_suite_four_times():
    """One block is four rooms: as it is, mirrored, turned; numbers for names, a layer of tees that no name tells, a fitted spline."""
    d = Plan("four-suites", version="R2013", unit="cm")
    w, h, origin = 3880, 5120, (440, 160)
    d.room(w, h, origin, (600, 600))
    suite = d.block("SUITE")
    long, deep = h / 10, w / 10
    for layer in ("CEILING", "WALLS", "LIGHTING", "SPRINKLERS", "AIR TERMINALS", "CURVES"):
        d.layer(layer)
    square = lambda layer, x, y, a, b: suite.add_lwpolyline(
        [(x, y), (x + a, y), (x + a, y + b), (x, y + b)], close=True, dxfattribs={"layer": layer})
    square("WALLS", 0, 0, long, deep)
    for x in range(16, 512, 60):
        suite.add_line((x, 0), (x, deep), dxfattribs={"layer": "CEILING"})
    for y in range(44, 388, 60):
        suite.add_line((0, y), (long, y), dxfattribs={"layer": "CEILING"})
    # turned by 90 degrees, (x, y) of the block lies at (h - y, x) of the room that is measured
    for x, y in ((100, 100), (400, 100)):
        suite.add_circle((x, y), 4, dxfattribs={"layer": "SPRINKLERS"})
        d.thing("sprinkler", centreMm=(w - 10 * y, 10 * x), radiusMm=40)
    for layer, kind, x, y in (("LIGHTING", "luminaire", 76, 44), ("AIR TERMINALS", "diffuser", 256, 104)):
        square(layer, x, y, 60, 60)
        d.thing(kind, cornerMm=(w - 10 * (y + 60), 10 * x), sizeMm=(600, 600))
    suite.add_spline([(300, 300), (340, 330), (380, 300)], dxfattribs={"layer": "CURVES"})
    for number, at, how in (
        ("101", (0, 0), {}),
        ("102", (1400, 0), {"xscale": -1}),
        ("103", (400, 1000), {"rotation": 90}),
        ("104", (1400, 1000), {"rotation": 180, "yscale": -1}),
    ):
        d.space.add_blockref("SUITE", at, dxfattribs=how)
        middle = {"101": (250, 190), "102": (1150, 190), "103": (200, 1250), "104": (1150, 1190)}[number]
        d.space.add_text(number, dxfattribs={"height": 20}).set_placement(middle)
    return d.save()


if __name__ == "__main__":
    OUT.mkdir(parents=True, exist_ok=True)
    truth = {}
    for draw in (layers_of_the_us_standard, turned_in_inches, unit_said_wrong, three_rooms_in_lines, mirrored_by_extrusion, storey_in_nested_blocks, names_of_no_system, one_suite_four_times):
        truth.update(draw())
    note = f"written by scripts/authorities/drawings_ezdxf.py with ezdxf {ezdxf.__version__}"
    (OUT / "truth.json").write_text(json.dumps({"source": note, "drawings": truth}, indent=1) + "\n")
