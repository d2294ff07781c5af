#!/usr/bin/env python3
"""Opens DXF files of sheets with an independent reader and holds them against the figures beside them.

    dxf.py DIR…

DIR holds the files of `traywright cut`: STEM.cut.json and what it names. Fails where the reader's audit finds an error or
mends anything, where the version, the unit, the number of lines on a layer or the extents are others than the figures say,
or where the SVG beside it is not at true scale. Needs ezdxf, see requirements.txt.
"""

import json
import pathlib
import re
import sys

import ezdxf
from ezdxf import bbox

LAYERS = {
    "names": "NAMES",
    "recesses": "RECESSES",
    "recesses-from-below": "RECESSES_FROM_BELOW",
    "openings": "OPENINGS",
    "edge-to-edge": "EDGE_TO_EDGE",
    "outlines": "OUTLINES",
}


def faults(path, sheet):
    """What is wrong with one DXF file."""
    document = ezdxf.readfile(path)
    audit = document.audit()
    bad = [f"audit: {e.message}" for e in audit.errors] + [f"mended: {e.message}" for e in audit.fixes]
    if document.dxfversion != "AC1015":
        bad.append(f"version {document.dxfversion}")
    if document.header.get("$INSUNITS") != 4:
        bad.append(f"unit {document.header.get('$INSUNITS')}")
    counts, cut = {}, []
    for entity in document.modelspace():
        if entity.dxf.layer.startswith("NOT_CUT"):
            continue
        cut.append(entity)
        counts[entity.dxf.layer] = counts.get(entity.dxf.layer, 0) + 1
    wanted = {LAYERS[name]: number for name, number in sheet["lines"].items()}
    if counts != wanted:
        bad.append(f"lines {counts}, not {wanted}")
    box = bbox.extents(cut)
    found = [box.extmin.x, box.extmin.y, box.extmax.x, box.extmax.y]
    if any(abs(a - b) > 1e-3 for a, b in zip(found, sheet["extents_mm"])):
        bad.append(f"extents {found}, not {sheet['extents_mm']}")
    return bad, len(cut)


def main(directories):
    failed = looked = 0
    for directory in map(pathlib.Path, directories):
        for figures in sorted(directory.glob("*.cut.json")):
            for sheet in json.loads(figures.read_text(encoding="utf-8"))["sheets"]:
                path = directory / sheet["dxf"]
                bad, count = faults(path, sheet)
                looked += 1
                print(f"{'FAIL' if bad else 'ok'}  {path.name}: {count} lines")
                for b in bad:
                    print(f"      {b}")
                failed += bool(bad)
                # A check that cannot fail is none: the same file with a line less must not pass.
                text = path.read_text(encoding="ascii")
                spoilt = directory / "spoilt.dxf"
                spoilt.write_text(re.sub(r"  0\nLWPOLYLINE\n(?:(?!  0\n).*\n.*\n)*?  0\nENDSEC", "  0\nENDSEC", text, count=1))
                try:
                    missed = not faults(spoilt, sheet)[0]
                except ezdxf.DXFError:
                    missed = False
                spoilt.unlink()
                if missed:
                    print(f"FAIL  {path.name}: a line less was not noticed")
                    failed += 1
    if not looked:
        raise SystemExit("dxf.py: no sheets")
    raise SystemExit(failed > 0)


main(sys.argv[1:])
