"""Reads a DXF with ezdxf and an SVG with ElementTree (neither of them ours) and prints what they hold as JSON."""

import json
import sys
import xml.etree.ElementTree as ET

import ezdxf


def read_dxf(path):
    doc = ezdxf.readfile(path)
    audit = doc.audit()
    space = doc.modelspace()
    return {
        "version": doc.dxfversion,
        "units": doc.header.get("$INSUNITS"),
        "errors": [error.message for error in audit.errors],
        "fixes": [fix.message for fix in audit.fixes],
        "circles": [
            [e.dxf.layer, e.dxf.center.x, e.dxf.center.y, e.dxf.radius] for e in space.query("CIRCLE")
        ],
        "lines": [
            [e.dxf.layer, e.dxf.start.x, e.dxf.start.y, e.dxf.end.x, e.dxf.end.y] for e in space.query("LINE")
        ],
        "texts": [e.plain_text() for e in space.query("TEXT")],
    }


def read_svg(path):
    root = ET.parse(path).getroot()
    name = "{http://www.w3.org/2000/svg}"
    circles = [
        [group.get("class")] + [float(circle.get(key)) for key in ("cx", "cy", "r")]
        for group in root.iter(name + "g")
        for circle in group.iter(name + "circle")
    ]
    return {
        "width": root.get("width"),
        "height": root.get("height"),
        "viewBox": root.get("viewBox"),
        "tags": sorted({element.tag.replace(name, "") for element in root.iter()}),
        "circles": circles,
        "texts": [element.text for element in root.iter(name + "text")],
        "brackets": [
            path.get("d")
            for group in root.iter(name + "g")
            if group.get("class") == "BRACKETS"
            for path in group.iter(name + "path")
        ],
    }


read = read_dxf if sys.argv[1].endswith(".dxf") else read_svg
json.dump(read(sys.argv[1]), sys.stdout)
