"""Where pieces lie on the dry-fit's page while they are pulled and moved: as they lie once that is saved."""

from axe_playwright_python.sync_playwright import Axe

from dry_fit_served import Browser, Served, until

PAPERS = """name: Tide pools
papers:
  kelp: {color: "#4d6b52", sheets: {12 x 12: 40}}
  shell: {color: "#ead9c4", sheets: {12 x 12: 40}}
photos:
  crab: {size: 4 x 3}
  limpet: {size: 3 x 2}
  heron: {size: 2 x 3}
cutting: {effort: quick}
"""
# Every kind of place, each of which keeps another point while a size is pulled: the element, how far its corner is
# pulled, and across and down which point stays.
PLACES = """left:
  base: shell
  pieces:
    - rectangle: {id: corner, paper: kelp, size: 2 x 1, at: [1, 1]}
    - rectangle: {id: middle, paper: kelp, size: 2 x 1, at: {center: 1/2 page, middle: 2}}
    - rectangle: {id: end, paper: kelp, size: 2 x 1, at: {right: 1, bottom: 1}}
    - rectangle: {id: mixed, paper: kelp, size: 2 x 1, at: {right: 1, middle: 3}}
    - rectangle: {id: unsaid, paper: kelp, size: 2 x 1, at: {top: 4}}
    - panel: {id: ground, paper: kelp, size: 4 x 3, at: [4, 5]}
    - circle: {id: pool, paper: shell, diameter: 1, at: {on: ground}}
    - star: {id: star, paper: shell, diameter: 1, at: {on: ground, left: 1/4}}
    - rectangle: {id: after, paper: shell, size: 1 x 1, at: {right of: ground, gap: 1/4}}
    - rectangle: {id: before, paper: shell, size: 1 x 1, at: {left of: ground, gap: 1/4, align: center}}
    - rectangle: {id: below, paper: shell, size: 1 x 1, at: {below: ground, gap: 1/4, align: end}}
    - rectangle: {id: above, paper: shell, size: 1 x 1, at: {above: ground, gap: 1/8, align: center}}
    - rectangle: {id: between, paper: kelp, size: 1 x 1, at: {between: [left edge, ground], top: 8}}
    - tag: {id: flap, paper: shell, size: 2 x 1, at: {tucked under: ground, side: right, shows: 1, align: end}}
    - photo: {photo: crab, at: {right: 1/2, bottom: 1/2}, mats: [{paper: kelp, reveal: 1/8}]}
right:
  base: shell
  pieces:
    - strip: {id: level, paper: kelp, width: 1, at: {middle: 4}}
    - strip: {id: upright, paper: kelp, width: 1, down: page, at: {right: 1}}
    - photo: {photo: limpet, at: {center: 6, top: 1}, mats: [{paper: kelp, reveal: {left: 1/8, right: 1/4, top: 1/8, bottom: 1/8}}]}
    - cluster: {id: shells, at: {right: 2, bottom: 2}, pieces: [{rectangle: {id: raft, paper: kelp, size: 3 x 2}}, {circle: {id: pip, paper: shell, diameter: 1, at: {offset: [2, 0]}}}]}
title: [{id: word, words: Tide, font: display, height: 1, paper: kelp, page: right, at: {center: 1/2 page, bottom: 5}}]
"""
PULLS = [
    ("left.corner", (0.5, 0.25), [0, 0]), ("left.middle", (0.5, 0.25), [0.5, 0.5]), ("left.end", (-0.5, -0.25), [1, 1]),
    ("left.mixed", (-0.5, 0.25), [1, 0.5]), ("left.unsaid", (0.5, 0.25), [0, 0]), ("left.pool", (0.25, 0.25), [0.5, 0.5]),
    ("left.star", (0.25, 0.25), [0, 0.5]), ("left.after", (0.5, 0.25), [0, 0]), ("left.before", (-0.5, 0.25), [1, 0.5]),
    ("left.below", (-0.5, 0.25), [1, 0]), ("left.above", (0.25, -0.25), [0.5, 1]), ("left.between", (0.25, 0.5), [0.5, 0]),
    ("left.flap", (-0.25, -0.25), [1, 1]), ("left.crab", (-0.25, -0.25), [1, 1]), ("left.ground", (0.25, 0.25), [0, 0]),
    ("right.level", (0, 0.25), [0, 0.5]), ("right.upright", (-0.25, 0), [1, 0]), ("right.limpet", (0.25, 0.25), [0.5, 0]),
    ("right.shells.pip", (0.25, 0.25), [0.5, 0.5]), ("right.shells.raft", (0.25, 0.25), [0.5, 0.5]),
]
NEAR = 1 / 64 + 1e-6


def lies(page, name):
    """Where a piece is drawn: left, top, width and height on its page in inches."""
    return page.evaluate("""async (name) => {
      const state = await (await fetch("state")).json();
      const element = state.elements.find((one) => one.id === name);
      const inch = parseFloat(document.getElementById("spread").style.width) / state.table[0];
      const style = document.querySelector(`[data-id="${name}"]`).style;
      const [x, y] = state.corners[element.page];
      const [left, top, width, height] = ["left", "top", "width", "height"].map((key) => parseFloat(style[key]) / inch);
      return [left - x, top - y, width, height];
    }""", name)


def is_told(state, name):
    element = next(one for one in state["elements"] if one["id"] == name)
    return [*element["at"], *element["size"]], element


def pulling(tally, browser, program):
    """What is drawn while a size is pulled is what is saved, for each kind of place."""
    with Served(program, PAPERS + PLACES, files=False) as served:
        seen = Browser(browser, served, 1800, 1200)
        page = seen.page
        for name, by, stays in PULLS:
            before = served.state()
            first, element = is_told(before, name)
            tally.case(element["stays"] == stays, f"{name} keeps {element['stays']}, not {stays}")
            page.locator(f'[data-id="{name}"]').focus()
            page.keyboard.press("Enter")
            inch = page.evaluate("table => parseFloat(document.getElementById('spread').style.width) / table", before["table"][0])
            boxes = []
            # News have the page drawn anew, its grips with it.
            until(lambda: boxes.append(page.locator(".pull").bounding_box()) or boxes[-1], f"{name} can be pulled")
            x, y = boxes[-1]["x"] + 13, boxes[-1]["y"] + 13
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(x + by[0] * inch / 2, y + by[1] * inch / 2)
            page.mouse.move(x + by[0] * inch, y + by[1] * inch)
            drawn = lies(page, name)
            page.mouse.up()
            until(lambda: served.state()["version"] > before["version"], f"{name} is pulled")
            saved, _ = is_told(served.state(), name)
            off = max(abs(one - other) for one, other in zip(drawn, saved))
            tally.case(off <= NEAR, f"{name} is drawn at {drawn} while it is pulled, and saved at {saved}")
            grown = [saved[2] - first[2], saved[3] - first[3]]
            tally.case(all(more > 0.06 for more, wish in zip(grown, by) if wish), f"{name} grows: {grown}")
            fixed = [(first[axis] + first[2 + axis] * stays[axis]) - (saved[axis] + saved[2 + axis] * stays[axis]) for axis in (0, 1)]
            tally.case(max(map(abs, fixed)) <= NEAR, f"{name}: what its place is measured from stays: {fixed}")
            seen.settled(served)
            served.ask("POST", served.at("undo"))
            page.wait_for_function("told => document.querySelector(`[data-id='${told[0]}']`).getAttribute('aria-label') === told[1]",
                                   arg=[name, element["told"]])
        tally.case(served.file.read_text() == PAPERS + PLACES, "all is taken back")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def in_clusters(tally, browser, program):
    """A piece of a cluster goes by its offset, the whole by its place: by pointer and by keys."""
    with Served(program, PAPERS + PLACES, files=False) as served:
        seen = Browser(browser, served, 1800, 1200)
        page = seen.page
        where = lambda name: is_told(served.state(), name)[0]  # noqa: E731
        cluster = lambda: served.said()["right"]["pieces"][3]["cluster"]  # noqa: E731
        inch = seen.inch("right.shells.raft", 3)

        def after(act):
            version = served.state()["version"]
            act()
            until(lambda: served.state()["version"] > version, "it is saved")
            seen.settled(served)

        raft = where("right.shells.raft")
        drawn = []

        def look():
            drawn[:] = lies(page, "right.shells.pip")

        after(lambda: seen.drag("right.shells.pip", (inch * 0.75, inch * 0.5), hold=look))
        pip = cluster()["pieces"][1]["circle"]
        tally.case(pip["at"]["offset"] != [2, 0] and cluster()["at"]["right"] != 2, f"its offset changes, and what the whole is measured by: {cluster()}")
        tally.case(max(abs(one - other) for one, other in zip(drawn, where("right.shells.pip"))) <= NEAR, "it lies where it was dragged to")
        tally.case(max(abs(one - other) for one, other in zip(raft, where("right.shells.raft"))) <= NEAR, "and the others stay")
        # By keys: the piece, then the whole.
        page.locator('[data-id="right.shells.raft"]').focus()
        before = cluster()
        after(lambda: page.keyboard.press("ArrowRight"))
        tally.case(cluster()["pieces"][0]["rectangle"]["at"] == {"offset": ["1/16", 0]}, f"a piece goes by arrow keys: {cluster()}")
        page.locator('[data-id="right.shells"]').focus()
        before = cluster()
        after(lambda: page.keyboard.press("Shift+ArrowUp"))
        tally.case(cluster()["pieces"] == before["pieces"] and cluster()["at"] != before["at"], f"the whole goes by arrow keys: {cluster()}")
        # The grip at its corner chooses the whole; that can be dragged by any of its pieces, and a click on one of them
        # chooses that.
        page.locator('[data-id="right.shells.pip"]').focus()
        page.keyboard.press("Enter")
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag21a", "wcag2aa", "wcag21aa", "best-practice"]})
        told = [(fault["id"], fault["nodes"][0]["html"][:120]) for fault in found.response["violations"]]
        tally.case(not told, f"axe-core on a chosen piece of a cluster: {told}")
        page.locator(".whole").click()
        tally.case(page.locator('[data-id="right.shells"][aria-pressed="true"]').count() == 1, "the grip chooses the whole")
        before = cluster()
        over = page.locator('[data-id="right.shells.raft"]').bounding_box()
        x, y = over["x"] + over["width"] / 3, over["y"] + over["height"] / 3

        def pulled():
            page.mouse.move(x, y)
            page.mouse.down()
            page.mouse.move(x - 20, y - 30)
            page.mouse.move(x - 40, y - 60)
            page.mouse.up()

        after(pulled)
        tally.case(cluster()["pieces"] == before["pieces"] and cluster()["at"] != before["at"], f"the whole is dragged by a piece of it: {cluster()}")
        tally.case(page.locator('[data-id="right.shells"][aria-pressed="true"]').count() == 1, "and stays chosen")
        page.mouse.click(x - 40, y - 60)
        tally.case(page.locator('[data-id="right.shells.raft"][aria-pressed="true"]').count() == 1, "one more click chooses the piece there")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")


def snapping(tally, browser, program):
    """Reveals on what lies beneath: where a photo comes to rest, and what is told while it moves."""
    text = PAPERS + """left:
  base: shell
  pieces:
    - panel: {id: mat, paper: kelp, size: 6 x 6, at: [1, 1]}
    - photo: {photo: limpet, at: [1 3/8, 4 1/2]}
    - photo: {photo: heron, at: [4 1/2, 2 1/2]}
right:
  base: shell
"""
    with Served(program, text, files=False) as served:
        seen = Browser(browser, served, 1800, 1200)
        page = seen.page
        rest = lambda case: page.evaluate("""async ({at, size, moved, others}) => {
          const { rest } = await import(new URL("snapping.js", document.querySelector("script").src));
          const whole = (one) => ({ kind: "panel", moves: [true, true], written: [], ...one });
          const all = others.map(whole);
          return rest(whole({ id: "moved", at, size }), moved, all, all, [12, 12], 0.07, false);
        }""", case)  # noqa: E731
        mat, other = {"id": "mat", "at": [1, 1], "size": [6, 6]}, {"id": "other", "at": [1.375, 4.53125], "size": [3, 2]}
        # Of the other, 3/8 in of the mat show on its left, 15/32 in below it.
        for what, at, moved, axis, wanted, told, others in [
            ("its left like the other's below", [2.0, 2.5], [1.5, 2.5], 0, 1.46875, "a reveal like the others", [mat, other]),
            ("its right like the other's left", [4.0, 1.75], [4.58, 1.75], 0, 4.625, "a reveal like the others", [mat, other]),
            ("its top like its left", [1.28125, 2.5], [1.28125, 1.33], 1, 1.28125, "a reveal like its own", [mat]),
            ("its bottom like its left", [1.28125, 2.5], [1.28125, 3.75], 1, 3.71875, "a reveal like its own", [mat]),
            ("its left like its top", [2.5, 1.28125], [1.33, 1.28125], 0, 1.28125, "a reveal like its own", [mat]),
            ("in the middle", [2.0, 2.5], [3.28, 2.5], 0, 3.25, "middle of mat", [{**mat, "at": [1.25, 1]}]),
        ]:
            found = rest({"at": at, "size": [2, 3], "moved": moved, "others": others})
            why = [one["told"] for one in found["why"] if one["axis"] == axis]
            tally.case(abs(found["place"][axis] - wanted) < 1e-9 and why == [told], f"{what}: {found}, not {wanted} for {told}")
        for what, at, moved, others in [
            ("no mat", [1.28125, 2.5], [1.28125, 1.33], []),
            ("the mat lies on it", [1.28125, 2.5], [1.28125, 1.33], [{"id": "small", "at": [1.3, 2], "size": [1, 1]}]),
            ("both ways at once", [3.0, 2.5], [2.28125, 2.33], [mat]),
        ]:
            found = rest({"at": at, "size": [2, 3], "moved": moved, "others": others})
            tally.case(not any("reveal" in one["told"] for one in found["why"] if one["axis"] == 0), f"{what}: no reveal: {found}")
        # On the page: it comes to rest, and says so.
        inch = seen.inch("left.heron", 2)
        said = []

        def look():
            said.append(page.inner_text("#measure"))
            said.append(sorted(page.locator(".gap").all_inner_texts()))
            said.append(page.locator('#picture g[transform="translate(0.125 0)"]').count())

        seen.drag("left.heron", (inch * 0.14, inch * 0.02), hold=look)
        until(lambda: served.file.read_text() != text, "it is moved")
        at = served.said()["left"]["pieces"][2]["photo"]["at"]
        tally.case(str(at[0]) == "4 5/8", f"its right reveal is that of the other's left: {at}")
        tally.case("a reveal like the others" in said[0] and "on left.mat:" in said[0] and "3/8 in right" in said[0], f"it is told: {said[0]}")
        tally.case(said[2] == 1, f"the photo goes with the pointer: {said[2]}")
        tally.case("3/8 in" in said[1] and "1 1/2 in" in said[1], f"and shown: {said[1]}")
        tally.case(not seen.faults, f"the browser has nothing to complain of: {seen.faults}")
