"""Reads DXF files with ezdxf (PyPI), a library of its own, and tells what it finds in them as JSON: a list, an entry for each file
named. Run as: python read_dxf.py FILE..."""

import json
import math
import sys

import ezdxf
from ezdxf.math import bulge_to_arc


def outline(entity):
    """Length and signed area of a closed polyline, straights and arcs, as the library understands its bulges."""
    corners = [(vertex.dxf.location.vec2, vertex.dxf.get("bulge", 0)) for vertex in entity.vertices]
    length = area = 0.0
    for (start, bulge), (end, _) in zip(corners, corners[1:] + corners[:1]):
        area += 0.5 * start.det(end)
        if bulge == 0:
            length += start.distance(end)
            continue
        _, first, last, radius = bulge_to_arc(start, end, bulge)
        angle = (last - first) % (2 * math.pi)
        length += radius * angle
        area += math.copysign(0.5 * radius**2 * (angle - math.sin(angle)), bulge)
    return {"layer": entity.dxf.layer, "closed": bool(entity.is_closed), "length": length, "area": area}


def told(name):
    document = ezdxf.readfile(name)
    audit = document.audit()
    space = document.modelspace()
    of = lambda kind, layer: len(space.query(f'{kind}[layer=="{layer}"]'))
    return {
        "version": document.dxfversion,
        "errors": len(audit.errors),
        "fixes": len(audit.fixes),
        "outlines": [outline(entity) for entity in space.query("POLYLINE")],
        "bend_lines": of("LINE", "BEND"),
        "mark_lines": of("LINE", "MARK"),
        "circles": of("CIRCLE", "MARK"),
        "words": [entity.dxf.text for entity in space.query("TEXT")],
        "strays": sorted({entity.dxf.layer for entity in space} - {"CUT", "BEND", "MARK", "TEXT"}),
    }


print(json.dumps([told(name) for name in sys.argv[1:]]))
