"""Reads DXF files with the library ezdxf and prints what they hold, as JSON: by file and layer the number of entities,
the length of everything, and the area of closed ones (all in drawing units).

Usage: read-dxf.py FILE...
"""

import json
import math
import sys

import ezdxf
from ezdxf.math import bulge_to_arc


def arc_of(start, end, bulge):
    _, a, b, radius = bulge_to_arc(start, end, bulge)
    sweep = 4 * math.atan(abs(bulge))
    return radius * sweep, math.copysign(radius * radius * (sweep - math.sin(sweep)) / 2, bulge)


def measure(entity):
    kind = entity.dxftype()
    if kind == "LINE":
        return (entity.dxf.end - entity.dxf.start).magnitude, 0.0
    if kind == "CIRCLE":
        return math.tau * entity.dxf.radius, math.pi * entity.dxf.radius**2
    if kind == "POLYLINE":
        assert entity.is_closed, "an open polyline"
        corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in entity.vertices]
        length = area = 0.0
        for (x0, y0, bulge), (x1, y1, _) in zip(corners, corners[1:] + corners[:1]):
            area += (x0 * y1 - x1 * y0) / 2
            if bulge:
                arc_length, segment = arc_of((x0, y0), (x1, y1), bulge)
                length += arc_length
                area += segment
            else:
                length += math.hypot(x1 - x0, y1 - y0)
        return length, abs(area)
    raise SystemExit(f"unexpected entity {kind}")


def layers(path):
    document = ezdxf.readfile(path)
    assert document.dxfversion == "AC1009", document.dxfversion
    errors = document.audit().errors
    assert not errors, [e.message for e in errors]
    found = {}
    for entity in document.modelspace():
        length, area = measure(entity)
        layer = found.setdefault(entity.dxf.layer, {"count": 0, "length": 0.0, "area": 0.0})
        layer["count"] += 1
        layer["length"] += length
        layer["area"] += area
    return found


print(json.dumps({path: layers(path) for path in sys.argv[1:]}))
