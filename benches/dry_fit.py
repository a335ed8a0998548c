"""How soon the dry-fit shows what was saved or moved: `dry_fit.py PROGRAM [--edits 50] [--memory 1000]`.

In Debian's Chromium, on the demo, a spread of 24 photos and one of 100 pieces: from a file saved to its picture
shown, and from the pointer moved to the next frame drawn; medians in milliseconds. Then the program's memory over
many edits. The packages are those of tests/outside/requirements.txt.
"""

import argparse
import re
import statistics
import sys
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests" / "outside"))

from dry_fit_served import FLAGS, Browser, Served, until  # noqa: E402  (a path of our own)


def photos(count):
    """A spread of prints from a few files."""
    files = ["launch", "tangle", "crest", "gull", "socks"]
    names = "".join(f"  p{number}: {{size: 3 x 2 1/4, file: kite-day/{files[number % 5]}.jpg}}\n" for number in range(count))
    pieces = {"left": "", "right": ""}
    for number in range(count):
        page, at = ("left", "right")[number % 2], number // 2
        pieces[page] += f"    - photo: {{id: one{number}, photo: p{number}, mats: [{{paper: sand, reveal: 1/8}}], "
        pieces[page] += f"at: [{1/4 + 3.6 * (at % 3):.3f}, {1/4 + 2.8 * (at // 3):.3f}]}}\n"
    pages = "".join(f"{page}:\n  base: chalk\n  pieces:\n    - circle: {{id: sun, paper: sand, diameter: 1, at: {{left: 1/2, top: 11}}}}\n{of}"
                    for page, of in pieces.items())
    return f"name: Many photos\npapers:\n  chalk: {{color: '#f4efe3', sheets: {{12 x 12: 9}}}}\n  sand: {{color: '#d8bf93', sheets: {{12 x 12: 9}}}}\nphotos:\n{names}{pages}"


def shapes(count):
    """A spread of small pieces."""
    kinds = ["circle: {diameter: 3/4", "star: {diameter: 1", "heart: {size: 7/8 x 3/4", "rectangle: {size: 1 x 3/4"]
    pieces = {"left": "", "right": ""}
    for number in range(count):
        page, at = ("left", "right")[number % 2], number // 2
        kind = kinds[number % 4]
        name = "sun" if number == 0 else f"one{number}"
        pieces[page] += f"    - {kind}, id: {name}, paper: sand, at: {{left: {1/2 + 1.5 * (at % 7):.3f}, top: {1/2 + 1.4 * (at // 7):.3f}}}}}\n"
    pages = "".join(f"{page}:\n  base: chalk\n  pieces:\n{of}" for page, of in pieces.items())
    return f"name: Many pieces\npapers:\n  chalk: {{color: '#f4efe3', sheets: {{12 x 12: 9}}}}\n  sand: {{color: '#d8bf93', sheets: {{12 x 12: 9}}}}\n{pages}"


def saved(served, seen, edits):
    """Milliseconds from a saved file to its picture."""
    text = served.file.read_text()
    place = re.search(r"(id: sun,[^\n]*?left: )([\d./ ]+)", text)
    times = []
    for number in range(edits):
        wanted = served.state()["version"] + 1
        seen.page.evaluate("""() => { window.drawn = new Promise((done) => document.addEventListener('drawn',
            () => requestAnimationFrame(() => setTimeout(() => done(performance.timeOrigin + performance.now()), 0)), { once: true })) }""")
        new = text[:place.start(2)] + f"{1/2 + (number % 16) / 16 + 1/32}" + text[place.end(2):]
        start = time.time()
        served.file.write_text(new)
        shown = seen.page.evaluate("() => window.drawn")
        times.append(shown - start * 1000)
        until(lambda: served.state()["version"] >= wanted, "the edit is seen")
        time.sleep(0.05)
    return times


def dragged(seen, edits):
    """Milliseconds from the pointer moved to the frame that shows it."""
    box = seen.box("left.sun")
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    seen.page.evaluate("""() => { window.frames_taken = []; document.addEventListener('pointermove', (event) => {
        const start = event.timeStamp; requestAnimationFrame(() => { const port = new MessageChannel();
        port.port1.onmessage = () => window.frames_taken.push(performance.now() - start); port.port2.postMessage(0); }); }, true) }""")
    seen.page.mouse.move(x, y)
    seen.page.mouse.down()
    for number in range(edits):
        seen.page.mouse.move(x + 20 + number, y + 10 + number % 7)
        time.sleep(0.03)
    times = seen.page.evaluate("() => window.frames_taken")
    seen.page.keyboard.press("Escape")
    seen.page.mouse.move(x, y)
    seen.page.mouse.up()
    return times[1:]


def memory(served, edits):
    """Resident kilobytes after every tenth of some edits by the page."""
    sizes = []
    for number in range(edits):
        by = 1 / 16 if number % 2 else -1 / 16
        status, _ = served.change({"move": {"element": "left.sun", "by": [by, 0]}})
        assert status == 200, status
        if number % (edits // 10) == edits // 10 - 1:
            sizes.append(int(re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{served.process.pid}/status").read_text())[1]))
    return sizes


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--edits", type=int, default=50)
    parser.add_argument("--memory", type=int, default=1000)
    arguments = parser.parse_args()
    demo = (ROOT / "templates" / "kite-day.yaml").read_text()
    print(f"{'spread':<12} {'saved to shown':>15} {'moved to shown':>15}   (medians in ms of {arguments.edits})")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        for name, text in [("demo", demo), ("24 photos", photos(24)), ("100 pieces", shapes(100))]:
            with Served(arguments.program, text) as served:
                seen = Browser(browser, served)
                until(lambda: served.ask("GET", served.at("sheets"))[2].count(b'"stage":"done"') == 1, "it is nested")
                first = dragged(seen, arguments.edits)
                second = saved(served, seen, arguments.edits)
                print(f"{name:<12} {statistics.median(second):>15.0f} {statistics.median(first):>15.1f}")
        browser.close()
    with Served(arguments.program, demo) as served:
        print(f"memory over {arguments.memory} edits, in kB, tenth by tenth:", *memory(served, arguments.memory))


if __name__ == "__main__":
    main()
