"""The dry-fit's page in a real browser: `dry_fit.py PROGRAM [--pictures FOLDER]`.

Debian's Chromium, driven by Playwright, moves, pulls and takes back; files are edited, broken and deleted under it;
axe-core looks at the page as those see it who don't see; foreign pages, names and words are refused; the program is
killed while it saves. After each step the YAML is read back.
"""

import argparse
import json
import shutil
import subprocess
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from common import Tally
from dry_fit_asked import forms, saving, security
from dry_fit_hands import built_and_kept, quick_hands, steps_and_news, writing
from dry_fit_places import in_clusters, pulling, snapping
from dry_fit_served import FLAGS, ROOT, Browser, Served, until


def moving(tally, browser, program, pictures):
    """Moves, pulls, steps back and forth."""
    with Served(program) as served:
        first = served.file.read_text()
        seen = Browser(browser, served)
        page = seen.page
        inch = seen.inch("left.sun", 2)
        if pictures:
            page.wait_for_selector(".sheet svg")
            seen.picture(pictures / "dry-fit-1.png")
        seen.drag("right.wind", (-inch * 1.03, inch * 0.52), at=(0.5, 0.8),
                  hold=(lambda: seen.picture(pictures / "dry-fit-2.png")) if pictures else None)
        tally.case(until(lambda: served.file.read_text() != first, "the move is saved"), "a drag is saved")
        at = served.piece("right", "wind")["at"]
        tally.case(set(at) == {"right", "top"}, f"the kind of place stays: {at}")
        # A photo that is placed beside another keeps that form: its gap changes.
        before = served.file.read_text()
        seen.settled(served)
        seen.drag("right.top", (inch * 0.25, 0), at=(0.5, 0.3))
        until(lambda: served.file.read_text() != before, "the photo is moved")
        at = served.piece("right", "top")["at"]
        tally.case(at.get("right of") == "lookout" and str(at["gap"]) != "3/8" and set(at) == {"right of", "gap"},
                    f"a photo beside another keeps that form: {at}")
        changed = [(old, new) for old, new in zip(before.splitlines(), served.file.read_text().splitlines()) if old != new]
        tally.case(len(changed) == 1, f"one line of the file changes: {changed}")
        # Pull a mat: its reveal grows.
        before = served.file.read_text()
        page.locator('[data-id="right.top"]').focus()
        page.keyboard.press("Enter")
        page.wait_for_selector(".pull")
        box = page.locator(".pull").bounding_box()
        x, y = box["x"] + 13, box["y"] + 13
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + inch * 0.1, y)
        page.mouse.move(x + inch * 0.13, y)
        page.mouse.up()
        tally.case(until(lambda: served.file.read_text() != before, "the mat is pulled"), "a pull is saved")
        mats = served.piece("right", "top")["mats"]
        tally.case(str(mats[0]["reveal"]) == "1/4", f"a mat's reveal is pulled from 3/16 to 1/4: {mats}")
        for name, press, key, wanted in [
            ("left.date", "Alt+ArrowRight", "size", "2 5/16 x 5/8"),
            ("left.sun", "Alt+ArrowRight", "diameter", "2 1/16"),
        ]:
            before = served.file.read_text()
            page.locator(f'[data-id="{name}"]').focus()
            page.keyboard.press(press)
            until(lambda: served.file.read_text() != before, "the size is saved")
            size = served.piece("left", name.split(".")[1])[key]
            tally.case(str(size) == wanted, f"{name} is pulled to {size}, not {wanted}")
        # Steps back to the first byte, and forth.
        last = served.file.read_text()
        steps = 0
        while served.state()["undo"] and steps < 20:
            version = served.state()["version"]
            page.click("#undo")
            until(lambda: served.state()["version"] > version, "a step is taken back")
            seen.settled(served)
            steps += 1
        tally.case(served.file.read_text() == first, "steps back lead to the first byte")
        while served.state()["redo"]:
            version = served.state()["version"]
            page.click("#redo")
            until(lambda: served.state()["version"] > version, "a step is made again")
        tally.case(served.file.read_text() == last, "and forth again to the last")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def following(tally, browser, program):
    """Edits in the file, a broken file, two tabs, a file changed while something is dragged."""
    with Served(program) as served:
        first = served.file.read_text()
        seen, other = Browser(browser, served), Browser(browser, served)
        page = seen.page
        served.file.write_text(first.replace("{left: 1/2, top: 1/2}}", "{left: 1/4, top: 3/4}}"))
        told = '[data-id="left.sun"][aria-label*="1/4 in from the left"]'
        for one in [seen, other]:
            one.page.wait_for_selector(told)
            tally.case(True, "a saved file is followed")
        # A mistake keeps the picture and underlines the line.
        good = page.evaluate("document.querySelector('#picture svg').outerHTML.length")
        served.file.write_text(first.replace("paper: coral, width: 2 1/4", "paper: corral, width: 2 1/4"))
        page.wait_for_selector("#mistake:not([hidden])")
        mistake = page.inner_text("#mistake")
        tally.case("corral" in mistake and "coral" in mistake and "━━" in mistake, f"a mistake is underlined: {mistake}")
        tally.case(page.evaluate("document.querySelector('#picture svg').outerHTML.length") == good, "the last good picture stays")
        seen.drag("left.sun", (60, 40))
        page.wait_for_selector("#piece .fault")
        tally.case("corral" in served.file.read_text(), "nothing is written into a file with a mistake")
        page.click("#undo")
        page.wait_for_selector("#mistake", state="hidden")
        tally.case("corral" not in served.file.read_text(), "an edit elsewhere is taken back as a step is")
        # Two tabs: what one moves, the other shows, and an old version is refused.
        before = served.file.read_text()
        seen.settled(served)
        seen.drag("left.sun", (80, 0))
        until(lambda: served.file.read_text() != before, "one tab moves")
        at = served.piece("left", "sun")["at"]["left"]
        other.page.wait_for_selector(f'[data-id="left.sun"][aria-label*="{at} in from the left"]')
        tally.case(True, "the other tab follows")
        status, told = served.change({"move": {"element": "left.sun", "by": [1, 0]}}, version=1)
        tally.case(status == 409 and "changed" in told["message"], f"an old version is refused: {status} {told}")
        # What a tab made of its picture, change by change, is what a new tab is given.
        for old, new in [("diameter: 2}", "diameter: 2 1/2}"), ("- circle: {id: sun", "- heart: {id: new, paper: coral, size: 1 x 1, at: [3, 3]}\n    - circle: {id: sun"),
                         ("launch: {", "launch: {focus: [0.2, 0.2], ")]:
            text = served.file.read_text()
            if old in text:
                version = served.state()["version"]
                served.file.write_text(text.replace(old, new, 1))
                until(lambda: served.state()["version"] > version and served.state()["mistake"] is None, "the edit is read")
        version = served.state()["picture"]
        new = Browser(browser, served)
        drawn = "document.querySelector('#picture svg').outerHTML"
        until(lambda: page.evaluate(drawn) == new.page.evaluate(drawn), f"the picture of version {version} is drawn")
        tally.case(page.evaluate(drawn) == new.page.evaluate(drawn), "a picture that changed by parts is the same as a new one")
        loaded = "[...document.querySelectorAll('#picture image')].map((one) => one.getAttribute('href'))"
        pictures_of = page.evaluate(loaded)
        tally.case(len(pictures_of) >= 5 and all(one.startswith("copies/") for one in pictures_of), "photos have addresses of their own")
        for one in set(pictures_of):
            status, headers, body = served.ask("GET", served.at(one))
            tally.case(status == 200 and body[:3] == b"\xff\xd8\xff" and "immutable" in headers["cache-control"], f"a photo is there: {status}")
        new.page.close()
        # Changed on disk while it is dragged: hers is kept.
        hers = served.file.read_text().replace("name: Kite day", "name: Kite afternoon")

        def meanwhile():
            served.file.write_text(hers)
            until(lambda: served.state()["name"] == "Kite afternoon", "the server sees the edit")

        seen.drag("left.sun", (0, 90), hold=meanwhile)
        until(lambda: page.locator("#piece .fault").count() > 0, "the page says so")
        tally.case(served.file.read_text() == hers, "an edit made meanwhile is never overwritten")
        tally.case("changed elsewhere" in page.inner_text("#piece .fault"), "and the page says so")
        for one in [seen, other]:
            tally.case(not one.faults, f"the browser has nothing to complain of: {one.faults}")


def by_keyboard(tally, browser, program):
    """Everything by keys alone."""
    with Served(program) as served:
        seen = Browser(browser, served)
        page = seen.page

        def to(selector):
            """Goes on by Tab until something has the focus."""
            for _ in range(250):
                page.keyboard.press("Tab")
                if page.evaluate("selector => document.activeElement?.matches(selector)", selector):
                    return True
            return False

        def saved(before, what):
            tally.case(until(lambda: served.file.read_text() != before, what), f"{what} by keys")
            seen.settled(served)

        tally.case(to('[data-id="left.sun"]'), "a piece is reached by Tab")
        before = served.file.read_text()
        for key in ["ArrowRight", "ArrowRight", "Shift+ArrowDown"]:
            page.keyboard.press(key)
        saved(before, "moved")
        at = {side: str(value) for side, value in served.piece("left", "sun")["at"].items()}
        tally.case(at == {"left": "5/8", "top": "1"}, f"arrows move by 1/16, with shift by 1/2: {at}")
        before = served.file.read_text()
        page.locator('[data-id="left.sun"]').focus()
        page.keyboard.press("PageUp")
        saved(before, "one up")
        order = [next(iter(item)) for item in served.said()["left"]["pieces"]]
        tally.case(order.index("circle") == 5, f"the order changes: {order}")
        for label, what in [("To the other page", "to the other page"), ("Copy", "copied")]:
            before = served.file.read_text()
            where = "left" if label != "Copy" else "right"
            page.locator(f'[data-id="{where}.sun"]').focus()
            page.keyboard.press("Enter")
            tally.case(to("#piece button"), f"`{label}` is reached")
            for _ in range(12):
                if page.evaluate("document.activeElement.textContent") == label:
                    break
                page.keyboard.press("Tab")
            page.keyboard.press("Enter")
            saved(before, what)
        tally.case(served.piece("right", "sun") and served.piece("right", "sun-2"), "a copy has a name of its own")
        before = served.file.read_text()
        page.locator('[data-id="right.sun-2"]').focus()
        page.keyboard.press("Delete")
        saved(before, "taken away")
        tally.case(served.piece("right", "sun-2") is None, "it is gone")
        # A new piece from the form that the schema makes.
        before = served.file.read_text()
        page.locator("#adding > summary").focus()
        page.keyboard.press("Enter")
        tally.case(to("#add select"), "the form is reached")
        kinds = page.locator("#add select").nth(1).locator("option").all_inner_texts()
        tally.case({"circle", "photo", "strip", "panel", "title", "tag"} <= set(kinds), f"every kind can be added: {kinds}")
        page.locator("#add select").nth(1).select_option("star")
        tally.case(to("#add button"), "the form's button is reached")
        page.keyboard.press("Enter")
        saved(before, "added")
        tally.case(any("star" in item for item in served.said()["left"]["pieces"]), "a star lies on the left page")
        before = served.file.read_text()
        page.keyboard.press("Control+z")
        saved(before, "taken back")
        # Turned by degrees; the number that is written is the one that changes.
        before = served.file.read_text()
        page.locator('[data-id="left.kite"]').focus()
        page.keyboard.press("Enter")
        tally.case(to("#piece input[type=number]"), "the degrees are reached")
        page.keyboard.press("Control+a")
        page.keyboard.type("-7.5")
        page.keyboard.press("Enter")
        saved(before, "turned")
        tally.case(served.file.read_text() == before.replace("turn: 14}", "turn: -7.5}"), "a turn changes its number alone")
        # The story.
        page.locator("#story-of > summary").focus()
        page.keyboard.press("Enter")
        page.locator("#story").fill("We let go.\nIt went up: \"higher\" # than the gulls.")
        before = served.file.read_text()
        tally.case(to("#story-form button"), "the story's button is reached")
        page.keyboard.press("Enter")
        saved(before, "the story")
        tally.case(served.said()["journaling"]["text"].strip() == "We let go.\nIt went up: \"higher\" # than the gulls.",
                    f"the story is saved as written: {served.said()['journaling']['text']!r}")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def building(tally, browser, program, pictures):
    """Build, look at the files, cut again, say what is cut."""
    text = (ROOT / "templates" / "kite-day.yaml").read_text().replace("page: 12 x 12\n", "page: 12 x 12\ncutting: {effort: quick}\n")
    with Served(program, text) as served:
        seen = Browser(browser, served)
        page = seen.page
        page.click("#build")
        page.wait_for_selector("#files a")
        names = page.locator("#files a").all_inner_texts()
        tally.case({"proof.html", "guide.pdf", "record.json", "spread.svg"} <= set(names), f"files are linked: {names}")
        cut = next(name for name in names if name.startswith("cut/"))
        for name in ["proof.html", "guide.pdf", "spread.png", cut]:
            status, headers, body = served.ask("GET", served.at(f"files/{name}"))
            same = (served.folder / "out/kite-day" / name).read_bytes() == body
            tally.case(status == 200 and same and "sandbox" in headers["content-security-policy"], f"{name} is served as it is")
        out = served.folder / "out"
        warm = {file.relative_to(out): file.read_bytes() for file in out.rglob("*") if file.is_file()}
        shutil.rmtree(out)
        subprocess.run([served.program, "build", "kite-day.yaml"], cwd=served.folder, capture_output=True, check=False)
        cold = {file.relative_to(out): file.read_bytes() for file in out.rglob("*") if file.is_file()}
        tally.case(warm.keys() == cold.keys(), "a cold build has the same files")
        for name, content in cold.items():
            tally.case(warm.get(name) == content, f"{name} has the bytes of a cold build")
        page.locator('[data-id="left.sun"]').focus()
        page.keyboard.press("Enter")
        page.locator("#piece button", has_text="Cut again").click()
        tally.case(until(lambda: (served.folder / "out/kite-day/redo-1/record.json").is_file(), "the redo stands"), "a piece is cut again")
        page.wait_for_selector("#files a[href*='redo-1']")
        again = json.loads((served.folder / "out/kite-day/redo-1/record.json").read_text())
        tally.case([piece["id"] for piece in again["pieces"]] == ["left.sun"], "just that")
        if pictures:
            page.locator("#made").scroll_into_view_if_needed()
            seen.picture(pictures / "dry-fit-3.png")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def for_all(tally, browser, program, pictures):
    """axe-core, light and dark, from 400 px to 4K; words that are scripts stay words."""
    nasty = "<script>alert(1)</script><img src=x onerror=alert(2)>"
    text = (ROOT / "templates" / "kite-day.yaml").read_text()
    text = text.replace("name: Kite day", f"name: '{nasty}'").replace("id: sun", f"id: '{nasty}'").replace("socks:  {", f"'{nasty}': {{")
    text = text.replace("photos: [gull, socks]", f"photos: [gull, '{nasty}']")
    for size, scheme in [((400, 800), "light"), ((1400, 900), "dark"), ((3840, 2160), "light")]:
        with Served(program, text) as served:
            seen = Browser(browser, served, *size, color_scheme=scheme)
            page = seen.page
            page.on("dialog", lambda dialog: seen.faults.append(f"a script ran: {dialog.message}"))
            page.locator("#adding > summary").click()
            page.wait_for_selector(".sheet svg")
            page.locator('[data-id="right.wind"]').focus()
            page.keyboard.press("Enter")
            found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
            told = [(fault["id"], fault["nodes"][0]["html"][:120]) for fault in found.response["violations"]]
            tally.case(not told, f"axe-core at {size}, {scheme}: {told}")
            wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            tally.case(wide <= 0, f"nothing stands out at {size}: {wide} px")
            last = page.locator(".sheet").first.locator("button").last.bounding_box()
            tally.case(size[0] < 860 or last["y"] + last["height"] <= size[1], f"a sheet's buttons are seen at {size}: {last}")
            tally.case(nasty in page.inner_text("#name"), "a name that is a script is text")
            tally.case(page.evaluate("document.querySelectorAll('img, script:not([src])').length") == 0, "no script comes from a spec")
            if pictures:
                seen.picture(pictures / f"dry-fit-{size[0]}-{scheme}.png")
            tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--only", nargs="*")
    arguments = parser.parse_args()
    if arguments.pictures:
        arguments.pictures.mkdir(parents=True, exist_ok=True)
    tally = Tally("dry-fit")
    program, pictures = arguments.program, arguments.pictures
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        parts = {
            "moving": lambda: moving(tally, browser, program, pictures),
            "pulling": lambda: pulling(tally, browser, program),
            "clusters": lambda: in_clusters(tally, browser, program),
            "snapping": lambda: snapping(tally, browser, program),
            "following": lambda: following(tally, browser, program),
            "keyboard": lambda: by_keyboard(tally, browser, program),
            "hands": lambda: quick_hands(tally, browser, program),
            "steps": lambda: steps_and_news(tally, browser, program),
            "writing": lambda: writing(tally, browser, program),
            "kept": lambda: built_and_kept(tally, browser, program),
            "building": lambda: building(tally, browser, program, pictures),
            "all": lambda: for_all(tally, browser, program, pictures),
            "security": lambda: security(tally, program),
            "saving": lambda: saving(tally, program),
            "forms": lambda: forms(tally, program),
        }
        for name, part in parts.items():
            if not arguments.only or name in arguments.only:
                part()
        browser.close()
    sys.exit(not tally.report())


if __name__ == "__main__":
    main()
