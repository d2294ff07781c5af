#!/usr/bin/env python3
"""Opens sheets (SVG) and patterns (HTML) in headless Chromium and measures their bars of 100 mm.

    scale.py DIR…

DIR holds the files of `traywright cut` and `traywright coupon`. Fails where a bar is not 100 mm long at 96/25.4 CSS pixels a
millimetre, where a file has no bar, or where a line of the legend lies on the sheet.
"""

import pathlib
import sys
import tempfile

from browser import Browser

MEASURE = r"""
(() => {
  const bars = [...document.querySelectorAll('#not-cut-scale-bar, .scale-bar')];
  const edge = document.querySelector('#not-cut-sheet-edge rect');
  const legend = document.querySelector('#not-cut-legend');
  return {
    bars: bars.map(b => b.getTotalLength() * b.getScreenCTM().a / 96 * 25.4),
    apart: !edge || legend.getBoundingClientRect().top >= edge.getBoundingClientRect().bottom,
    sheet: edge ? [edge.width.baseVal.value, edge.getScreenCTM().a * edge.width.baseVal.value / 96 * 25.4] : null,
  };
})()
"""


def main(directories):
    files = [p for d in map(pathlib.Path, directories) for p in sorted(d.iterdir()) if p.name.endswith((".svg", ".pattern.html"))]
    if not files:
        raise SystemExit("scale.py: no files")
    failed = 0
    with tempfile.TemporaryDirectory(prefix="scale-") as profile:
        browser = Browser(profile)
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        browser.call("Page.enable", session)
        for path in files:
            browser.events.clear()
            browser.call("Page.navigate", session, url=path.resolve().as_uri())
            browser.wait("Page.loadEventFired")
            found = browser.call("Runtime.evaluate", session, expression=MEASURE, returnByValue=True)["result"]["value"]
            bad = [f"a bar of {b:.3f} mm" for b in found["bars"] if abs(b - 100) > 0.01]
            if not found["bars"]:
                bad.append("no bar")
            if not found["apart"]:
                bad.append("the legend lies on the sheet")
            if found["sheet"] and abs(found["sheet"][0] - found["sheet"][1]) > 0.01:
                bad.append(f"a sheet of {found['sheet'][1]:.3f} mm instead of {found['sheet'][0]:.3f}")
            failed += bool(bad)
            print(f"{'FAIL' if bad else 'ok'}  {path.name}: {len(found['bars'])} bars of 100 mm" + "".join(f"\n      {b}" for b in bad))
        browser.close()
    raise SystemExit(failed > 0)


if __name__ == "__main__":
    main(sys.argv[1:])
