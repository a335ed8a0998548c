"""The dry-fit's page under quick hands and slow answers: what she does before the last thing is answered, what she has
written and not saved while the file is changed elsewhere, and what is kept from one start to the next."""

import json
import re

from dry_fit_places import lies
from dry_fit_served import Browser, Served, until

SPEC = """name: Tide pools
papers:
  grün: {color: "#4d6b52", sheets: {12 x 12: 8}}
  shell: {color: "#ead9c4", sheets: {12 x 12: 8}}
cutting: {effort: quick}
left:
  base: shell
  pieces:
    - circle: {id: sun, paper: grün, diameter: 2, at: {left: 1/2, top: 1/2}}
    - rectangle: {id: raft, paper: grün, size: 3 x 2, at: [4, 4]}
    - star: {id: star, paper: grün, diameter: 1, at: [1, 8], turn: 14}
right:
  base: shell
journaling:
  paper: shell
  strip: {height: 5/16, widest: 3}
  text: >
    We let go.
"""
STOCK = """papers:
  - {name: grün, color: "#4d6b52", kind: cardstock, sheets: [{size: 12 x 12, count: 7}]}
  - {name: shell, color: "#ead9c4", kind: cardstock, sheets: [{size: 12 x 12, count: 9}]}
"""
# Keeps back what the page asks for, or the answer to it, until it is let go.
HOLD = """(isAnswer) => {
  const first = window.fetch;
  const gate = new Promise((open) => { window.letGo = open; });
  window.fetch = async (what, ...more) => {
    if (!["change", "undo", "redo"].includes(what)) return first(what, ...more);
    if (!isAnswer) await gate;
    const answer = await first(what, ...more);
    if (isAnswer) await gate;
    return answer;
  };
}"""
# Arrow keys are waited for longer than anything that is done between them.
SLOW = """() => {
  const first = window.setTimeout;
  window.setTimeout = (act, pause, ...more) => first(act, pause === 350 ? 4000 : pause, ...more);
}"""
ACTIVE = "document.activeElement.labels?.[0]?.textContent || document.activeElement.textContent"
SPOKEN = "[...document.getElementById('measure').childNodes].filter((one) => !one.ariaHidden).map((one) => one.textContent).join('')"


def opened(browser, served):
    seen = Browser(browser, served)
    return seen, seen.page


def is_shown(page, served):
    """Waits until the page shows the file as it is."""
    return until(lambda: page.evaluate("document.getElementById('name').textContent") == served.state()["name"]
                 and served.state()["mistake"] is None, "the page shows the file")


def renamed(served, page, name):
    """Changes the file elsewhere, and waits until the page shows it."""
    served.file.write_text(re.sub(r"^name: .*", f"name: {name}", served.file.read_text()))
    until(lambda: served.state()["name"] == name, "the server sees the edit")
    is_shown(page, served)


def at(served, name):
    return {key: str(value) for key, value in served.piece("left", name)["at"].items()}


def changed(served, before, what):
    return until(lambda: served.file.read_text() != before, what)


def choose(page, name):
    page.locator(f'[data-id="{name}"]').focus()
    page.keyboard.press("Enter")


def quick_hands(tally, browser, program):
    """Arrows, drags, pulls and steps back before the one before is answered."""
    with Served(program, SPEC, files=False) as served:
        seen, page = opened(browser, served)
        page.evaluate(SLOW)
        # An answer comes between two presses of an arrow.
        page.evaluate(HOLD, False)
        choose(page, "left.raft")
        page.keyboard.press("PageDown")
        page.locator('[data-id="left.sun"]').focus()
        page.keyboard.press("ArrowRight")
        page.evaluate("letGo()")
        until(lambda: served.state()["undo"] == 1 and page.evaluate("!document.getElementById('undo').disabled"), "the order is changed")
        page.keyboard.press("ArrowRight")
        tally.case("5/8 in from the left" in page.inner_text("#measure"), f"arrows add up after an answer: {page.inner_text('#measure')}")
        before = served.file.read_text()
        page.locator('[data-id="left.star"]').focus()
        changed(served, before, "the arrows are saved")
        tally.case(at(served, "sun") == {"left": "5/8", "top": "1/2"}, f"two arrows are two steps, whatever comes between: {at(served, 'sun')}")
        seen.settled(served)
        # The file is changed elsewhere between two presses: neither is written over it.
        page.locator('[data-id="left.sun"]').focus()
        page.keyboard.press("ArrowDown")
        renamed(served, page, "Elsewhere")
        page.keyboard.press("ArrowDown")
        hers = served.file.read_text()
        page.locator('[data-id="left.star"]').focus()
        until(lambda: page.locator("#piece .fault").count(), "the page says so")
        tally.case(served.file.read_text() == hers, "arrows are saved in the version that the first of them began with")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")
    with Served(program, SPEC, files=False) as served:
        seen, page = opened(browser, served)
        page.evaluate(SLOW)
        page.locator('[data-id="left.sun"]').focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Control+z")
        tally.case(until(lambda: served.state()["redo"] == 1, "the arrow is taken back"), "Ctrl-Z takes back the arrow before it")
        tally.case(served.file.read_text() == SPEC and served.state()["undo"] == 0, "and nothing else")
        page.keyboard.press("Control+z")
        page.locator('[data-id="left.sun"]').focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Delete")
        until(lambda: served.piece("left", "sun") is None, "it is taken away")
        tally.case(served.state()["undo"] == 2, "Delete saves the arrow before it")
        tally.case(until(lambda: page.evaluate("document.activeElement.id") == "table", "the focus stays"), "the focus stays where pieces lie")
        seen.settled(served)
        page.keyboard.press("Control+z")
        until(lambda: served.piece("left", "sun"), "it is back")
        tally.case(at(served, "sun") == {"left": "9/16", "top": "1/2"}, f"and it comes back where the arrow moved it: {at(served, 'sun')}")
        tally.case(page.locator("#piece .fault").count() == 0 and not seen.faults, f"nothing is complained of: {seen.faults}")
    with Served(program, SPEC, files=False) as served:
        seen, page = opened(browser, served)
        inch = seen.inch("left.sun", 2)
        for what, drags in [("both", [(1, 0.5), (0.5, 1)]), ("there and back", [(-1, -0.5), (1, 0.5), (0.25, 0)])]:
            before, version = lies(page, "left.sun"), served.state()["version"]
            page.evaluate(HOLD, False)
            page.keyboard.down("Alt")
            for by in drags:
                seen.drag("left.sun", (by[0] * inch, by[1] * inch))
            page.keyboard.up("Alt")
            drawn = lies(page, "left.sun")
            moved = page.evaluate("document.querySelector(`#picture [data-piece='left.sun']`).getAttribute('transform')")
            page.evaluate("letGo()")
            until(lambda: served.state()["version"] == version + len(drags), f"{what} are saved")
            seen.settled(served)
            sun = next(one for one in served.state()["elements"] if one["id"] == "left.sun")
            tally.case(max(abs(one - other) for one, other in zip(drawn, sun["at"])) < 0.02, f"{what}: drawn at {drawn}, saved at {sun['at']}")
            wanted = [before[axis] + sum(by[axis] for by in drags) for axis in (0, 1)]
            tally.case(max(abs(one - other) for one, other in zip(drawn, wanted)) < 0.08, f"{what}: a drag begins where the last one ended: {drawn}, not {wanted}")
            by = [float(one) for one in re.findall(r"-?[\d.]+(?:e-\d+)?", moved)]
            tally.case(max(abs(one - (wanted[axis] - before[axis])) for axis, one in enumerate(by)) < 0.08, f"{what}: the picture goes with it: {moved}")
        # Another piece keeps its place on the screen while the first one is answered; of pulls, the same.
        choose(page, "left.raft")
        page.evaluate(HOLD, False)
        for _ in range(2):
            box = page.locator(".pull").bounding_box()
            x, y = box["x"] + 13, box["y"] + 13
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(x + inch / 4, y)
            page.mouse.move(x + inch / 2, y + inch / 4)
            page.mouse.up()
        drawn, version = lies(page, "left.raft"), served.state()["version"]
        page.evaluate("letGo()")
        until(lambda: served.state()["version"] == version + 2, "the pulls are saved")
        size = served.piece("left", "raft")["size"]
        tally.case(size == "4 x 2 1/2", f"two pulls of 1/2 x 1/4 in are 1 x 1/2 in: {size}")
        tally.case(abs(drawn[2] - 4) < 0.01 and abs(drawn[3] - 2.5) < 0.01, f"as they are drawn: {drawn}")
        # A pull that the browser breaks off is none.
        before = served.file.read_text()
        seen.settled(served)
        page.evaluate("""() => {
          const grip = document.querySelector(".pull");
          grip.setPointerCapture = () => {};
          const send = (kind, x) => grip.dispatchEvent(new PointerEvent(kind, { pointerId: 1, clientX: x, clientY: 0, bubbles: true, cancelable: true }));
          send("pointerdown", 0); send("pointermove", 60); send("pointercancel", 60);
        }""")
        choose(page, "left.sun")
        page.keyboard.press("PageUp")
        changed(served, before, "the order is changed")
        tally.case(served.piece("left", "raft")["size"] == size, "a pull that is broken off is not saved")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def steps_and_news(tally, browser, program):
    """Steps are asked of a version, and news that came meanwhile are heard."""
    with Served(program, SPEC, files=False) as served:
        seen, page = opened(browser, served)
        asked = []
        page.on("request", lambda request: asked.append((request.url.rsplit("/", 1)[-1], request.post_data)) if request.method == "POST" else None)
        choose(page, "left.sun")
        page.keyboard.press("PageUp")
        until(lambda: served.state()["undo"] == 1, "the order is changed")
        seen.settled(served)
        for what in ["undo", "redo"]:
            version = served.state()["version"]
            page.wait_for_selector(f"#{what}:enabled")
            page.click(f"#{what}")
            until(lambda: served.state()["version"] == version + 1, f"{what} is done")
            sent = [json.loads(body) for path, body in asked if path == what]
            tally.case(sent == [{"version": version}], f"{what} is asked of the version that is shown: {sent}")
        # While an answer is on its way, the file is changed elsewhere, and no more news follow.
        seen.settled(served)
        page.evaluate(HOLD, True)
        page.locator('[data-id="left.sun"]').focus()
        version = served.state()["version"]
        page.keyboard.press("PageDown")
        until(lambda: served.state()["version"] == version + 1, "the order is changed")
        served.file.write_text(served.file.read_text().replace("name: Tide pools", "name: Low tide"))
        until(lambda: served.state()["name"] == "Low tide", "the server sees the edit")

        def is_quiet():
            sheets = json.loads(served.ask("GET", served.at("sheets"))[2])
            return sheets["version"] == served.state()["version"] and sheets["stage"] == "done"

        until(is_quiet, "the nest is done")
        page.wait_for_timeout(1500)
        page.evaluate("letGo()")
        tally.case(is_shown(page, served), "news that came while an answer was on its way are heard afterwards")
        # The place of a piece is told while it goes by keys; what a button says itself is not told a second time.
        page.locator('[data-id="left.sun"]').focus()
        tally.case(page.evaluate(SPOKEN) == "" and "circle" in page.inner_text("#measure"), f"a piece with the focus is told once: {page.evaluate(SPOKEN)}")
        page.keyboard.press("ArrowRight")
        tally.case("from the left" in page.evaluate(SPOKEN), f"its place is told while it goes: {page.evaluate(SPOKEN)}")
        page.locator('[data-id="left.star"]').hover()
        tally.case("star" in page.evaluate(SPOKEN), f"what is under the pointer is told: {page.evaluate(SPOKEN)}")
        served.stop()
        until(lambda: "ended" in page.inner_text("#stage"), "the page says that the server has ended")
        told = page.inner_text("#stage")
        tally.case("what was saved is safe" in told and "new address" in told and "unsaved" not in told, f"what is kept is told: {told}")


def writing(tally, browser, program):
    """What she has written and not saved, in the story and in the forms."""
    with Served(program, SPEC, files=False) as served:
        seen, page = opened(browser, served)
        label = page.inner_text("label[for=story]") or page.text_content("label[for=story]")
        tally.case("line break begins a new paragraph" in label, f"the story's label: {label}")
        page.locator("#story-of > summary").click()
        save = page.locator("#story-form button")
        # The page's own steps don't stand in her way.
        page.locator("#story").fill("It went up.")
        choose(page, "left.sun")
        page.keyboard.press("PageUp")
        until(lambda: served.state()["undo"] == 1, "the order is changed")
        seen.settled(served)
        save.click()
        until(lambda: served.said()["journaling"]["text"].strip() == "It went up.", "the story is saved")
        tally.case(served.said()["journaling"]["text"].strip() == "It went up.", "the page's own steps carry a story that is begun")
        # What is saved elsewhere does.
        page.locator("#story").fill("It came down.")
        served.file.write_text(served.file.read_text().replace("It went up.", "It flew off."))
        renamed(served, page, "Elsewhere")
        hers = served.file.read_text()
        tally.case(page.input_value("#story") == "It came down.", "her text stays")
        save.click()
        until(lambda: page.locator("#piece .fault").count(), "the page says so")
        tally.case(served.file.read_text() == hers and "changed elsewhere" in "".join(page.locator("#piece .fault").all_inner_texts()), "a story that was saved elsewhere is not overwritten")
        tally.case(page.input_value("#story") == "It came down.", "and her text stays")
        save.click()
        tally.case(changed(served, hers, "her story is saved") and "It came down." in served.file.read_text(), "once she was told, it is saved")
        tally.case(page.locator("#piece .fault").count() == 0 or until(lambda: page.locator("#piece .fault").count() == 0, "no fault"), "what was at fault goes")
        # A field of a form.
        choose(page, "left.raft")
        size = page.locator("#piece").get_by_label("size", exact=True)
        size.fill("5 x 2")
        served.file.write_text(served.file.read_text().replace("size: 3 x 2", "size: 3 x 3"))
        renamed(served, page, "Elsewhere again")
        hers = served.file.read_text()
        tally.case(size.input_value() == "5 x 2", "a field that is begun stays")
        page.keyboard.press("Enter")
        until(lambda: page.locator("#piece .fault").count(), "the page says so")
        tally.case(served.file.read_text() == hers, "a field that was saved elsewhere is not overwritten")
        tally.case(until(lambda: size.input_value() == "3 x 3", "it is as in the file") and page.evaluate(ACTIVE) == "size", "it is shown as it is now, and she is still there")
        size.fill("5 x 2")
        page.keyboard.press("Enter")
        tally.case(changed(served, hers, "the size is saved") and served.piece("left", "raft")["size"] == "5 x 2", "once she was told, it is saved")
        # Where she has begun nothing, the form follows, and she stays where she was.
        seen.settled(served)
        size.focus()
        served.file.write_text(served.file.read_text().replace("size: 5 x 2", "size: 4 x 2"))
        tally.case(until(lambda: size.input_value() == "4 x 2", "the form follows") and page.evaluate(ACTIVE) == "size", "a form in which nothing is begun follows the file")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")
    with Served(program, SPEC, files=False) as served:
        seen, page = opened(browser, served)
        choose(page, "left.raft")
        before = served.file.read_text()
        page.evaluate(HOLD, False)
        page.locator("#piece").get_by_label("paper", exact=True).fill("shell")
        page.locator("#piece").get_by_label("size", exact=True).focus()
        page.keyboard.press("Control+a")
        page.keyboard.type("3 x 4")
        page.keyboard.press("ArrowLeft")
        page.evaluate("letGo()")
        changed(served, before, "the paper is saved")
        page.wait_for_selector("#undo:enabled")
        here = page.evaluate("[document.activeElement.value, document.activeElement.selectionStart]")
        tally.case(page.evaluate(ACTIVE) == "size" and here == ["3 x 4", 4], f"she writes on where she is while another field is saved: {here}")
        page.wait_for_timeout(300)
        tally.case(served.piece("left", "raft")["size"] == "3 x 2", "and what she has begun is not saved before she leaves it")
        before = served.file.read_text()
        page.keyboard.press("Tab")
        tally.case(changed(served, before, "the size is saved") and served.piece("left", "raft")["size"] == "3 x 4", "what she wrote is saved when she leaves it")
        seen.settled(served)
        before = served.file.read_text()
        page.locator("#piece button", has_text="One up").focus()
        page.keyboard.press("Enter")
        changed(served, before, "one up")
        page.wait_for_timeout(300)
        tally.case(page.evaluate(ACTIVE) == "One up", f"a button keeps the focus: {page.evaluate(ACTIVE)}")
        # Another key, then nothing left of it in the form.
        before = served.file.read_text()
        page.locator("#piece").get_by_label("Another key").fill("raised")
        page.locator("#piece").get_by_label("Its value").fill("1/8")
        page.keyboard.press("Enter")
        changed(served, before, "the key is added")
        tally.case(until(lambda: page.locator("#piece").get_by_label("raised", exact=True).count() == 1, "the key is shown"), "a key is added")
        left = page.locator("#piece").get_by_label("Its value").input_value() + page.locator("#piece").get_by_label("Another key").input_value()
        tally.case(left == "", f"nothing of it is left in the form: {left}")
        # A number that can't be read is none.
        choose(page, "left.star")
        turn = page.locator("#piece input[type=number]")
        for what in ["", "-"]:
            turn.focus()
            page.keyboard.press("Control+a")
            page.keyboard.press("Backspace")
            page.keyboard.type(what)
            page.keyboard.press("Tab")
            page.wait_for_timeout(300)
            tally.case(served.piece("left", "star").get("turn") == 14, f"{what!r} is no turn: {served.piece('left', 'star')}")
            tally.case(turn.get_attribute("aria-invalid") == "true" and page.locator("#piece .wrong").is_visible(), f"{what!r} is shown as wrong")
        before = served.file.read_text()
        turn.fill("20")
        page.keyboard.press("Enter")
        tally.case(changed(served, before, "the turn is saved") and served.piece("left", "star")["turn"] == 20, "a number is")
        seen.settled(served)
        # What is written and left by choosing another piece is saved; after one is taken away, the focus stays near.
        before = served.file.read_text()
        choose(page, "left.raft")
        size = page.locator("#piece").get_by_label("size", exact=True)
        size.fill("2 x 2")
        seen.drag("left.sun", (0, 0))
        tally.case(changed(served, before, "the size is saved") and served.piece("left", "raft")["size"] == "2 x 2", "a field is saved that is left by choosing another piece")
        seen.settled(served)
        page.locator("#piece button", has_text="Take away").focus()
        page.keyboard.press("Enter")
        until(lambda: served.piece("left", "sun") is None, "it is taken away")
        tally.case(until(lambda: page.evaluate("document.activeElement.id") == "all", "the focus stays near"), "the focus stays near where a piece is taken away")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def built_and_kept(tally, browser, program):
    """Built files and the paper on hand, and what is kept from one start to the next."""
    with Served(program, SPEC.replace(", sheets: {12 x 12: 8}", ""), files=False) as served:
        (served.folder / "stock.yaml").write_text(STOCK)
        served.stop()
        served.start()
        seen, page = opened(browser, served)
        page.locator("#made > summary").click()
        tally.case(page.inner_text("#files").strip() == "Nothing was built from this page yet.", page.inner_text("#files"))
        page.click("#build")
        page.wait_for_selector("#files a")
        names = page.locator("#files a").all_inner_texts()
        own = [name for name in names if "ü" in name]
        tally.case(len(own) >= 1, f"files with letters of every kind are linked: {names}")
        for name in own:
            address = page.locator("#files a", has_text=name).first.get_attribute("href")
            status, _, body = served.ask("GET", served.at(address))
            same = (served.folder / "out/tide-pools" / name).read_bytes() == body
            tally.case(address.isascii() and status == 200 and same, f"{name} is served: {status} {address}")
        # The stock is changed, and the same text laid out anew: that stands in the way of nothing.
        page.locator("#story-of > summary").click()
        page.locator("#story").fill("It went up.")
        (served.folder / "stock.yaml").write_text((served.folder / "stock.yaml").read_text() + "# counted\n")
        page.wait_for_timeout(1500)
        tally.case(page.locator("#files-age").is_hidden(), "what was built is not old where the stock alone has changed")
        before = served.file.read_text()
        page.locator("#story-form button").click()
        tally.case(changed(served, before, "the story is saved"), "a story that was begun before is saved")
        tally.case(until(lambda: page.locator("#files-age").is_visible(), "it is old"), "a story makes what was built old")
        page.click("#build")
        page.wait_for_selector("#build:disabled")
        page.wait_for_selector("#build:enabled")
        # What she has closed stays closed, and what is there stays there.
        tally.case(page.locator("#files-age").is_hidden(), "files of the page as it is are not old")
        page.evaluate("document.querySelector('#files a').seen = true")
        page.locator("#made > summary").click()
        version = served.state()["version"]
        served.file.write_text(served.file.read_text().replace("id: raft, paper: grün, size: 3 x 2", "id: raft, paper: grün, size: 3 x 3"))
        until(lambda: served.state()["version"] > version, "the server sees the edit")
        until(lambda: page.locator('[data-id="left.raft"][aria-label*="3 in x 3 in"]').count(), "the page follows")
        page.wait_for_timeout(500)
        tally.case(not page.evaluate("document.getElementById('made').open"), "built files stay closed")
        tally.case(page.evaluate("document.querySelector('#files a').seen === true"), "and are not built again by news")
        page.locator("#made > summary").click()
        tally.case(page.locator("#files-age").is_visible() and "older" in page.inner_text("#files-age"), "they are said to be older than the page")
        page.click("#build")
        page.wait_for_selector("#build:disabled")
        page.wait_for_selector("#build:enabled")
        page.wait_for_selector("#files a")
        tally.case(page.locator("#files-age").is_hidden(), "until they are built again")
        page.locator("#made > summary").click()
        # The paper on hand follows what is cut.
        page.locator("#stock-of > summary").click()
        frame = page.frame_locator("#stock")
        before = frame.locator("body").inner_text()
        # By keys: a click right after scrolling may still be given to the frame above.
        page.locator("#cut-all").focus()
        page.keyboard.press("Enter")
        tally.case(until(lambda: frame.locator("body").inner_text() != before, "the stock is shown anew"), f"the paper on hand is shown as it is after cutting: {page.text_content('#files')} {page.inner_text('#stage')} {page.locator('.fault').all_inner_texts()}")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")
    context = browser.new_context(viewport={"width": 1400, "height": 900})

    def inch(served):
        page = context.new_page()
        page.goto(served.url)
        page.wait_for_selector(".on-page")
        page.click("#real")
        width = page.evaluate("parseFloat(document.getElementById('spread').style.width)") / served.state()["table"][0]
        return page, width

    with Served(program, SPEC, files=False) as served, Served(program, SPEC, files=False) as other:
        page, first = inch(served)
        tally.case(abs(first - 96) < 0.01, f"without a card, an inch is that of CSS: {first}")
        page.click("#ruler")
        page.evaluate("""() => {
          const width = document.getElementById("card-width");
          width.value = "400";
          width.dispatchEvent(new Event("input"));
        }""")
        page.locator("#card button.main").click()
        _, kept = inch(other)
        tally.case(abs(kept - 400 / (85.6 / 25.4)) < 0.01, f"what a card told is kept at the next start: {kept}")
        for wrong in ["abc", "", "-5", "1e9", "NaN", "Infinity", "0"]:
            context.clear_cookies()
            context.add_cookies([{"name": "pixels_an_inch", "value": wrong, "url": f"http://127.0.0.1:{other.port}/"}])
            page, kept = inch(other)
            page.close()
            tally.case(abs(kept - 96) < 0.01, f"`{wrong}` is no size of an inch: {kept}")
    context.close()
