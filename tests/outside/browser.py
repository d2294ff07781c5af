#!/usr/bin/env python3
"""Opens reports (HTML) and pictures (SVG) in headless Chromium and looks for what a reader would trip over.

    browser.py FILE…

Fails on: a script error or any message of the console's error level, a request to anywhere but the file
itself, a label that leaves the room it was given (its `data-box`), two labels that overlap, a shape outside
its picture, a page wider than the screen, a table cell whose text sticks out, text under 7 pt in print.
Every file is opened at desktop, phone (360 px) and print (A4 and Letter) widths; print is also written to
PDF. Needs Python's standard library only; Chromium is installed through apt-get where it is missing.
"""

import base64
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

# Width and height in CSS pixels (96 to the inch), medium, face (the pictures' own where empty). Print widths are paper less 15 mm margins.
VIEWS = {
    "desktop": (1280, 900, "screen", ""),
    "phone": (360, 780, "screen", ""),
    "A4": (round(180 / 25.4 * 96), round(267 / 25.4 * 96), "print", ""),
    "Letter": (round(185.9 / 25.4 * 96), round(249.4 / 25.4 * 96), "print", ""),
    "wide face": (1280, 900, "screen", "DejaVu Sans"),
}
PAPERS = {"A4": (210 / 25.4, 297 / 25.4), "Letter": (8.5, 11.0)}

# Runs inside the page; returns a list of complaints. Half a pixel is forgiven: less than a hairline.
LOOK = r"""
(print, face) => {
  if (face) for (const e of document.querySelectorAll('svg, body')) e.style.fontFamily = face;
  const bad = [], forgive = 0.5;
  const shown = e => e.checkVisibility ? e.checkVisibility() : e.getClientRects().length > 0;
  const say = e => '"' + (e.textContent || e.tagName).trim().slice(0, 60) + '"';
  const rect = r => ({l: r.left, t: r.top, r: r.right, b: r.bottom});
  const inside = (a, b) => a.l >= b.l - forgive && a.t >= b.t - forgive && a.r <= b.r + forgive && a.b <= b.b + forgive;
  // What a text takes by the cells of its characters; rectangles of whole texts are rounded to pixels.
  const letters = e => {
    const c = e.getScreenCTM(), xs = [], ys = [];
    for (let i = 0; i < e.getNumberOfChars(); i++) {
      const g = e.getExtentOfChar(i);
      for (const x of [g.x, g.x + g.width]) for (const y of [g.y, g.y + g.height]) {
        xs.push(x * c.a + y * c.c + c.e);
        ys.push(x * c.b + y * c.d + c.f);
      }
    }
    return {l: Math.min(...xs), t: Math.min(...ys), r: Math.max(...xs), b: Math.max(...ys)};
  };
  const out = (a, b) => Math.max(b.l - a.l, b.t - a.t, a.r - b.r, a.b - b.b);
  const meet = (a, b) => Math.min(a.r, b.r) - Math.max(a.l, b.l) > forgive && Math.min(a.b, b.b) - Math.max(a.t, b.t) > forgive;
  const pictures = document.rootElement instanceof SVGSVGElement
    ? [document.rootElement] : [...document.querySelectorAll('svg')].filter(shown);
  let labels = 0, shapes = 0;
  for (const svg of pictures) {
    if (!svg.viewBox.baseVal || !svg.viewBox.baseVal.width) continue;
    const v = svg.viewBox.baseVal, m = svg.getScreenCTM();
    const frame = {l: v.x * m.a + m.e, t: v.y * m.d + m.f, r: (v.x + v.width) * m.a + m.e, b: (v.y + v.height) * m.d + m.f};
    const drawn = svg.getBoundingClientRect();
    if (Math.abs((frame.r - frame.l) * v.height - (frame.b - frame.t) * v.width) > v.width + v.height)
      bad.push('picture is stretched: ' + v.width + ' × ' + v.height);
    if (drawn.right - frame.r < -1 || drawn.bottom - frame.b < -1) bad.push('picture is clipped by its element');
    const texts = [];
    for (const e of svg.querySelectorAll('rect, path, line, polygon, circle, text')) {
      if (e.closest('defs')) continue;
      shapes += 1;
      const b = e.tagName === 'text' ? letters(e) : rect(e.getBoundingClientRect());
      if (!inside(b, frame)) bad.push(e.tagName + ' leaves the picture: ' + say(e));
      if (e.tagName === 'text') texts.push([e, b]);
    }
    for (const [e, b] of texts) {
      labels += 1;
      const box = (e.getAttribute('data-box') || '').split(' ').map(Number);
      if (box.length !== 4 || box.some(n => !Number.isFinite(n))) { bad.push('label without room: ' + say(e)); continue; }
      const c = e.parentNode.getScreenCTM();
      const room = {l: box[0] * c.a + c.e, t: box[1] * c.d + c.f, r: (box[0] + box[2]) * c.a + c.e, b: (box[1] + box[3]) * c.d + c.f};
      if (!inside(b, room)) bad.push('label leaves its room: ' + say(e) + ' by ' + out(b, room).toFixed(2) + ' px');
      const px = parseFloat(getComputedStyle(e).fontSize) * c.a;
      if (print && px < 7 / 72 * 96 - 0.01) bad.push('label under 7 pt: ' + say(e) + ' ' + px.toFixed(2) + ' px');
    }
    for (let i = 0; i < texts.length; i++)
      for (let j = i + 1; j < texts.length; j++)
        if (meet(texts[i][1], texts[j][1])) bad.push('labels overlap: ' + say(texts[i][0]) + ' and ' + say(texts[j][0]));
  }
  if (!(document.rootElement instanceof SVGSVGElement)) {
    const page = document.documentElement;
    if (page.scrollWidth > page.clientWidth + 1) bad.push('page is wider than its view: ' + page.scrollWidth + ' > ' + page.clientWidth);
    for (const t of document.querySelectorAll('table'))
      if (shown(t) && t.offsetWidth > t.parentElement.clientWidth + 1) bad.push('table is wider than its section: ' + t.offsetWidth + ' > ' + t.parentElement.clientWidth);
    for (const e of document.querySelectorAll('body *')) {
      if (!shown(e) || e.closest('svg') || !e.childNodes.length) continue;
      const s = getComputedStyle(e), words = [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim());
      if (!words || s.position === 'absolute' || e.closest('thead') && getComputedStyle(e.closest('thead')).position === 'absolute') continue;
      if (print && parseFloat(s.fontSize) < 7 / 72 * 96 - 0.01) bad.push('text under 7 pt: ' + say(e));
      if (s.display !== 'inline' && e.scrollWidth > e.clientWidth + 1) bad.push('text sticks out of its ' + e.tagName + ': ' + say(e));
      const r = e.getBoundingClientRect();
      if (r.right > page.clientWidth + 1 || r.left < -1) bad.push('text leaves the page: ' + say(e));
    }
  }
  return {bad, labels, shapes, pictures: pictures.length};
}
"""


def chromium():
    """The browser's command; installs Debian's package where there is none."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if shutil.which(name):
            return name
    root = [] if os.geteuid() == 0 else ["sudo"]
    subprocess.run([*root, "apt-get", "install", "-y", "-q", "chromium"], check=True, stdout=sys.stderr)
    return "chromium"


class Browser:
    """Chromium driven through two pipes: commands and events are JSON texts that end in a zero byte."""

    def __init__(self, profile):
        to_read, self.write = os.pipe()
        self.read, to_write = os.pipe()
        # The browser reads commands from descriptor 3 and answers on 4; both ends are moved out of the way first.
        high = [os.dup(to_read), os.dup(to_write)]
        high = [os.dup2(fd, 40 + k) for k, fd in enumerate(high)]

        def place():
            os.dup2(high[0], 3)
            os.dup2(high[1], 4)

        options = [
            "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--hide-scrollbars",
            "--disable-dev-shm-usage", "--remote-debugging-pipe", f"--user-data-dir={profile}", "about:blank",
        ]
        self.process = subprocess.Popen(
            [chromium(), *options], preexec_fn=place, pass_fds=(3, 4), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        for fd in (to_read, to_write, *high):
            os.close(fd)
        self.buffer, self.number, self.events = b"", 0, []

    def message(self):
        while b"\0" not in self.buffer:
            part = os.read(self.read, 1 << 16)
            if not part:
                raise SystemExit("browser.py: the browser ended")
            self.buffer += part
        text, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(text)

    def call(self, method, session=None, **params):
        self.number += 1
        call = {"id": self.number, "method": method, "params": params}
        if session:
            call["sessionId"] = session
        os.write(self.write, json.dumps(call).encode() + b"\0")
        while True:
            m = self.message()
            if m.get("id") == self.number:
                if "error" in m:
                    raise SystemExit(f"browser.py: {method}: {m['error'].get('message')}")
                return m["result"]
            if "method" in m:
                self.events.append(m)

    def wait(self, method):
        for k, m in enumerate(self.events):
            if m["method"] == method:
                return self.events.pop(k)
        while True:
            m = self.message()
            if m.get("method") == method:
                return m
            if "method" in m:
                self.events.append(m)

    def close(self):
        self.call("Browser.close")
        self.process.wait(30)


def foreign(event, own):
    """What an event gives away: an error, or a request to anywhere else."""
    params = event["params"]
    if event["method"] == "Runtime.exceptionThrown":
        return "script error: " + params["exceptionDetails"].get("text", "")
    if event["method"] == "Log.entryAdded" and params["entry"]["level"] == "error":
        return "error: " + params["entry"]["text"]
    if event["method"] == "Network.requestWillBeSent":
        url = params["request"]["url"]
        if not url.startswith("data:") and url.split("#")[0] != own:
            return "request to " + url
    return None


def look(browser, session, path):
    """All complaints about one file, and how much was looked at."""
    own = path.resolve().as_uri()
    bad, seen = [], 0
    for view, (width, height, medium, face) in VIEWS.items():
        browser.events.clear()
        browser.call("Emulation.setDeviceMetricsOverride", session, width=width, height=height, deviceScaleFactor=1, mobile=view == "phone")
        browser.call("Emulation.setEmulatedMedia", session, media=medium)
        browser.call("Page.navigate", session, url=own)
        browser.wait("Page.loadEventFired")
        printed = json.dumps(medium == "print" and path.suffix == ".html")
        script = f"({LOOK})({printed}, {json.dumps(face)})"
        result = browser.call("Runtime.evaluate", session, expression=script, returnByValue=True)
        if "exceptionDetails" in result:
            raise SystemExit("browser.py: " + json.dumps(result["exceptionDetails"])[:400])
        found = result["result"]["value"]
        if not found["labels"] or not found["shapes"]:
            bad.append(f"{view}: nothing is drawn")
        seen += found["labels"]
        bad += [f"{view}: {b}" for b in found["bad"]]
        bad += [f"{view}: {c}" for e in browser.events if (c := foreign(e, own))]
    if path.suffix == ".html":
        browser.call("Emulation.setEmulatedMedia", session, media="")
        for paper, (width, height) in PAPERS.items():
            pdf = browser.call("Page.printToPDF", session, paperWidth=width, paperHeight=height, preferCSSPageSize=True)
            if not base64.b64decode(pdf["data"]).startswith(b"%PDF"):
                bad.append(f"{paper}: no PDF")
    return bad, seen


def spoiled(path):
    """Copies of a good file with one fault each: what is wrong, and the text."""
    text = path.read_text(encoding="utf-8")
    start = re.search(r"<text [^>]*data-box=[^>]*>[^<]+</text>", text)
    label = start.group(0)

    def instead(other):
        return text[: start.start()] + other + text[start.end() :]

    yield "a label of three times the size", instead(re.sub(r'font-size="([\d.]+)"', lambda m: f'font-size="{float(m[1]) * 3}"', label))
    yield "a label twice in one place", instead(label + label)
    yield "a label without a room", instead(label.replace("data-box", "data-bx"))
    yield "a shape outside the picture", instead(label + '<rect x="-60" y="0" width="9" height="9"/>')
    if path.suffix == ".html":
        for fault, html in [
            ("a script error", "<script>nothing()</script>"),
            ("a request to elsewhere", '<img alt="" src="http://127.0.0.1:9/x.png">'),
            ("a page wider than a phone", '<p style="width:500px">wide</p>'),
            ("text that sticks out", '<p style="width:20px;white-space:nowrap">sticks out</p>'),
            ("text of 6 pt", '<p style="font-size:6pt">small</p>'),
        ]:
            yield fault, text.replace("</main>", html + "</main>")


def main(files):
    if not files:
        raise SystemExit(__doc__)
    failed = 0
    paths = [pathlib.Path(name) for name in files]
    with tempfile.TemporaryDirectory(prefix="browser-") as profile:
        browser = Browser(profile)
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            browser.call(f"{domain}.enable", session)
        for path in paths:
            bad, seen = look(browser, session, path)
            print(f"{'FAIL' if bad else 'ok'}  {path}: {seen} labels in {len(VIEWS)} views")
            for b in bad[:20]:
                print("      " + b)
            if len(bad) > 20:
                print(f"      and {len(bad) - 20} more")
            failed += bool(bad)
        for suffix in (".svg", ".html"):
            good = next((p for p in paths if p.suffix == suffix), None)
            for fault, text in spoiled(good) if good else ():
                copy = pathlib.Path(profile) / ("spoiled" + suffix)
                copy.write_text(text, encoding="utf-8")
                if not look(browser, session, copy)[0]:
                    print(f"FAIL  not caught in a copy of {good}: {fault}")
                    failed += 1
        browser.close()
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
