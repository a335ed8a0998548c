"""What the dry-fit's page does without a browser: forms of specs, who is refused, faults while it saves."""

import json
import os
import re
import shutil
import socket
import subprocess
import threading
import time
from pathlib import Path

from dry_fit_served import PATIENCE, ROOT, Served, until


def security(tally, program):
    """Who is refused."""
    with Served(program) as served:
        move = json.dumps({"version": 1, "asked": {"move": {"element": "left.sun", "by": [1, 0]}}})
        first = served.file.read_text()
        refused = {
            "no word": ("GET", "/state", None, {}),
            "a wrong word": ("GET", f"/{'0' * 32}/state", None, {}),
            "a foreign host": ("GET", served.at("state"), None, {"Host": "evil.example"}),
            "a name that leads here": ("GET", served.at("state"), None, {"Host": f"evil.example:{served.port}"}),
            "a foreign origin": ("POST", served.at("change"), move, {"Origin": "http://evil.example"}),
            "an origin of another port": ("POST", served.at("change"), move, {"Origin": "http://127.0.0.1:1"}),
            "no origin": ("POST", served.at("change"), move, {"Origin": None}),
            "a null origin": ("POST", served.at("change"), move, {"Origin": "null"}),
            "a form of a foreign page": ("POST", served.at("change"), move, {"Content-Type": "text/plain"}),
            "a picture on a foreign page": ("GET", served.at("spread.svg"), None, {"Sec-Fetch-Site": "cross-site"}),
            "a word that was never given": ("GET", "/join/", None, {}),
            "the page behind a join": ("GET", "/join/page/page.js", None, {}),
            "a file behind a join": ("GET", "/join/files/record.json", None, {}),
            "a join without sharing": ("GET", "/join/00000000", None, {}),
        }
        for what, (method, path, body, headers) in refused.items():
            status, _, _ = served.ask(method, path, body, headers)
            tally.case(status in (400, 403, 404, 415), f"{what} is refused: {status}")
        tally.case(served.file.read_text() == first, "nothing was changed")
        (served.folder / "secret.svg").write_text("<svg/>")
        (served.folder / "out").mkdir()
        (served.folder / "out/kite-day").mkdir()
        os.symlink(served.folder / "secret.svg", served.folder / "out/kite-day/link.svg")
        (served.folder / "out/kite-day/odd.sh").write_text("echo")
        for path in ["../secret.svg", "%2e%2e/secret.svg", "..%2fsecret.svg", "%2e%2e%2f%2e%2e%2fkite-day.yaml", "/etc/passwd",
                     "%2fetc%2fpasswd", "link.svg", "odd.sh", "..%5csecret.svg", "a/../../../secret.svg", "%00.svg"]:
            status, _, body = served.ask("GET", served.at(f"files/{path}"))
            tally.case(status in (400, 403, 404) and b"<svg" not in body, f"the path {path} is refused: {status}")
        status, headers, _ = served.ask("GET", served.at(""))
        policy = headers.get("content-security-policy", "")
        tally.case(status == 200 and "default-src 'none'" in policy and "unsafe-inline" not in policy, f"a strict policy: {policy}")
        tally.case("access-control-allow-origin" not in headers, "no CORS")
        # A body of 1 GB is refused before it is taken in.
        for length in [{"Content-Length": str(10**9)}, {}]:
            sent = 0
            with socket.create_connection(("127.0.0.1", served.port), timeout=PATIENCE) as sock:
                head = {"Host": f"127.0.0.1:{served.port}", "Origin": f"http://127.0.0.1:{served.port}",
                        "Content-Type": "application/json", **(length or {"Transfer-Encoding": "chunked"})}
                lines = "".join(f"{name}: {value}\r\n" for name, value in head.items())
                sock.sendall(f"POST {served.at('change')} HTTP/1.1\r\n{lines}\r\n".encode())
                try:
                    for _ in range(1000):
                        block = b" " * 2**20
                        sock.sendall(block if length else b"100000\r\n" + block + b"\r\n")
                        sent += len(block)
                except OSError:
                    pass
            tally.case(sent < 100 * 2**20, f"of 1 GB {sent} bytes were taken in")
        memory = int(re.search(r"VmHWM:\s+(\d+)", Path(f"/proc/{served.process.pid}/status").read_text())[1])
        tally.case(memory < 1_000_000, f"at most {memory} kB of memory")
        tally.case(served.state()["version"] == 1, "and it still serves")
        names = subprocess.run(["ss", "-ltnH"], capture_output=True, text=True, check=False) if shutil.which("ss") else None
        if names:
            own = [line for line in names.stdout.splitlines() if f":{served.port} " in line]
            tally.case(all("127.0.0.1" in line for line in own), f"only this machine reaches it: {own}")
    with Served(program, more=["--share"]) as served:
        host, path = re.fullmatch(r"http://([^/]+)(/.*)", served.share).groups()
        status, headers, _ = served.ask("GET", path, host=host)
        tally.case(status == 303 and headers["location"] == f"/{served.word}/", f"a shared word works: {status}")
        status, _, _ = served.ask("GET", path, host=host)
        tally.case(status == 403, f"and only once: {status}")
        status, _, _ = served.ask("GET", served.at("state"), host=host)
        tally.case(status == 200, f"the shared name is known: {status}")
    with Served(program, more=["--share"]) as served:
        host, path = re.fullmatch(r"http://([^/]+)(/.*)", served.share).groups()
        for number in range(100):
            served.ask("GET", f"/join/{number:08x}", host=host)
        status, _, _ = served.ask("GET", path, host=host)
        tally.case(status == 403, f"a shared word ends where others are tried: {status}")


def saving(tally, program):
    """Killed while it saves, read-only, deleted, renamed, a full disk."""
    text = (ROOT / "templates" / "beach-walk.yaml").read_text()
    move = {"move": {"element": "single.note", "by": [6 / 25.4, 0]}}
    for number in range(50):
        with Served(program, text, files=False) as served:
            asked = threading.Thread(target=lambda: served.ask("POST", served.at("change"), json.dumps({"version": 1, "asked": move})))
            asked.start()
            time.sleep(0.001 * (number % 25) * 4)
            served.stop()
            asked.join()
            now = served.file.read_text()
            whole = now == text or now == text.replace("at: {right: 12, top: 20}", "at: {right: 6, top: 20}")
            tally.case(whole, f"killed while it saves, the file is old or new: {now[:200]}")
    for call in ["fsync", "rename,renameat,renameat2"]:
        # The disk is full at the very call that saves.
        with Served(program, text, files=False) as served:
            tracer = subprocess.Popen(["strace", "-f", "-qq", "-o", "/dev/null", "-p", str(served.process.pid), "-e",
                                       f"inject={call}:error=ENOSPC"], stderr=subprocess.DEVNULL)
            until(lambda: "TracerPid:\t0" not in Path(f"/proc/{served.process.pid}/status").read_text(), "it is traced")
            time.sleep(0.5)
            status, told = served.change(move)
            tracer.terminate()
            tracer.wait()
            tally.case(status == 422 and "can't be saved" in told["message"], f"{call} fails: {status} {told}")
            tally.case(served.file.read_text() == text, f"{call} fails: the file is as it was")
            left = [file.name for file in served.folder.iterdir()]
            tally.case(left == ["kite-day.yaml"], f"{call} fails: nothing is left beside it: {left}")
            status, _ = served.change(move)
            tally.case(status == 200 and served.file.read_text() != text, f"{call}: later it is saved")
    # The disk takes its time, and another program saves meanwhile.
    with Served(program, text, files=False) as served:
        tracer = subprocess.Popen(["strace", "-f", "-qq", "-o", "/dev/null", "-p", str(served.process.pid), "-e",
                                   "inject=fsync:delay_enter=2000000"], stderr=subprocess.DEVNULL)
        until(lambda: "TracerPid:\t0" not in Path(f"/proc/{served.process.pid}/status").read_text(), "it is traced")
        time.sleep(0.5)
        answers = []
        asked = threading.Thread(target=lambda: answers.append(served.change(move)))
        asked.start()
        until(lambda: any(file.name.startswith(".cutleaf-") for file in served.folder.iterdir()), "it is written beside")
        served.file.write_text(text + "# elsewhere\n")
        asked.join()
        tracer.terminate()
        tracer.wait()
        tally.case(answers[0][0] == 409, f"what was saved elsewhere meanwhile is told: {answers[0]}")
        tally.case(served.file.read_text() == text + "# elsewhere\n", "and stays")
    with Served(program, text, files=False) as served:
        served.file.chmod(0o444)
        status, told = served.change(move)
        tally.case(status == 422 and "read-only" in told["message"] and served.file.read_text() == text, f"read-only: {told}")
        served.file.chmod(0o640)
        status, _ = served.change(move)
        tally.case(status == 200 and served.file.stat().st_mode & 0o777 == 0o640, "the file keeps its permissions")
        away = served.folder / "away.yaml"
        served.file.rename(away)
        tally.case(until(lambda: "not there any more" in (served.state()["mistake"] or ""), "it is gone"), "a file that goes is told")
        status, told = served.change(move)
        tally.case(status in (409, 422) and not served.file.exists(), f"nothing is written in its place: {status}")
        away.rename(served.file)
        tally.case(until(lambda: served.state()["mistake"] is None, "it is back"), "a file that comes back is shown")
        real = served.folder / "real.yaml"
        served.file.rename(real)
        served.stop()
        os.symlink("real.yaml", served.file)
        served.start()
        status, _ = served.change(move)
        tally.case(status == 200 and served.file.is_symlink() and real.read_text() != text, "behind a link, the file itself is changed")


PAPERS = """name: Dune garden
papers:
  moss: {color: "#55704f", sheets: {12 x 12: 40}}
  sand: {color: "#e3c9a0", sheets: {12 x 12: 40}}
photos:
  heron: {size: 4 x 3}
cutting: {effort: quick}
"""
# What each way of writing an element becomes: a spec, then its elements with what is asked, the text that goes and the
# text that comes; or, of a refusal, words of it.
FORMS = {
    "rows": ("""left:
  base: sand
  pieces:
    - panel: {id: sky, paper: moss, size: 3 x 12}
    - cluster: {id: sparks, turn: 10, at: {right: 1, top: 1}, pieces: [{scallop: {paper: sand, diameter: 2}}, {heart: {paper: moss, size: 1 x 1, at: {offset: [1/2, -1/4]}}}]}   # her sparks
    - banner: {id: flag, paper: moss, size: 1/2 x 1/2, repeat: {along: {from: [4, 5], to: [11, 5 1/2]}, count: 5}}
    - circle: {id: dot, paper: sand, diameter: 1/2, repeat: {along: left.sky, pitch: 1 1/4}}
    - star: {id: stars, paper: moss, diameter: 3/4, repeat: {along: page, count: 9}}
    - leaf: {id: wreath, paper: moss, size: 3/8 x 1, repeat: {along: {arc: {center: [7, 8], radius: 2, from: 0, to: 300}, turned: true}, count: 8}}
    - circle: {id: pearl, paper: sand, diameter: 1/4, repeat: {along: {edge: bottom, inset: 1}, count: 9}}
right:
  base: sand
""", [
        ("left.sparks", {"move": [0.25, -0.25]}, "right: 1, top: 1}", "right: 3/4, top: 3/4}"),
        ("left.sparks", {"turn": 15}, "turn: 10", "turn: 15"),
        ("left.sparks", {"pull": [1, 1]}, None, "follows from what it holds"),
        ("left.flag", {"move": [0.25, -0.25]}, "from: [4, 5], to: [11, 5 1/2]", "from: [4 1/4, 4 3/4], to: [11 1/4, 5 1/4]"),
        ("left.flag", {"pull": [1, 1]}, None, "it is a row"),
        ("left.dot", {"move": [0.25, 0.25]}, None, "is a row along `left.sky`, and goes with it"),
        ("left.stars", {"move": [0, 2]}, "count: 9}}\n    - leaf", "count: 9}, at: {top: 2}}\n    - leaf"),
        ("left.stars", {"move": [1, 0]}, None, "is a row over the whole page"),
        ("left.wreath", {"move": [0.5, 0]}, "center: [7, 8]", "center: [7 1/2, 8]"),
        ("left.pearl", {"move": [0, -0.5]}, "inset: 1", "inset: 1 1/2"),
        ("left.pearl", {"move": [1, 0]}, None, "along the whole bottom edge"),
        ("left.sky", {"delete": None}, None, "there is no piece `left.sky`"),
    ]),
    "clusters": ("""left:
  base: sand
  pieces:
    - cluster: {id: shells, at: [4, 4], pieces: [{rectangle: {id: raft, paper: moss, size: 3 x 2}}, {circle: {id: pip, paper: sand, diameter: 1, at: {offset: [2, 0]}}}]}
    - cluster:
        id: reeds   # hers
        at: {right: 1, middle: 1/4 page}
        pieces:
          - rectangle: {id: stem, paper: moss, size: 3 x 1}   # the long one
          - circle: {id: bud, paper: sand, diameter: 1, at: {offset: [2, 0]}}
    - cluster: {id: tilted, turn: 90, at: [1, 8], pieces: [{rectangle: {id: log, paper: moss, size: 3 x 2}}, {circle: {id: knot, paper: sand, diameter: 1, at: {offset: [1/2, 1/4]}}}]}
    - cluster: {id: twigs, at: {below: shells, gap: 4}, pieces: &twigs [{rectangle: {paper: moss, size: 3 x 1/2}}, {circle: {paper: sand, diameter: 1/2, at: {offset: [1/2, 1/4]}}}]}
right:
  base: sand
  pieces:
    - cluster: {id: others, at: [1, 1], pieces: *twigs}
""", [
        ("left.shells", {"move": [0.25, 0]}, "shells, at: [4, 4]", "shells, at: [4 1/4, 4]"),
        ("left.shells.pip", {"move": [0.25, 0.25]}, "sand, diameter: 1, at: {offset: [2, 0]}}}]", "sand, diameter: 1, at: {offset: [2 1/4, 1/4]}}}]"),
        # The others stay where they are: the cluster's own place makes up for the box that is another now.
        ("left.shells.raft", {"move": [-0.5, 0]}, "[4, 4], pieces: [{rectangle: {id: raft, paper: moss, size: 3 x 2}",
         "[3 1/2, 4], pieces: [{rectangle: {id: raft, paper: moss, size: 3 x 2, at: {offset: [-1/2, 0]}}"),
        ("left.shells.raft", {"delete": None}, "[4, 4], pieces: [{rectangle: {id: raft, paper: moss, size: 3 x 2}}, ", "[7, 4 1/2], pieces: ["),
        ("left.shells.raft", {"pull": [1, 0]}, "[4, 4], pieces: [{rectangle: {id: raft, paper: moss, size: 3 x 2", "[3 1/2, 4], pieces: [{rectangle: {id: raft, paper: moss, size: 4 x 2"),
        ("left.shells.pip", {"pull": [0.5, 0.5]}, "sand, diameter: 1, at: {offset: [2, 0]}}}]", "sand, diameter: 1 1/2, at: {offset: [2, 0]}}}]"),
        ("left.shells.pip", {"turn": 30}, "at: {offset: [2, 0]}}}]", "at: {offset: [2, 0]}, turn: 30}}]"),
        ("left.shells.pip", {"other-page": None}, None, "is a piece of `left.shells`, and goes with it"),
        ("left.reeds.bud", {"move": [0.5, 1]}, """right: 1, middle: 1/4 page}
        pieces:
          - rectangle: {id: stem, paper: moss, size: 3 x 1}   # the long one
          - circle: {id: bud, paper: sand, diameter: 1, at: {offset: [2, 0]}}""", """right: 1/2, middle: 3 1/2}
        pieces:
          - rectangle: {id: stem, paper: moss, size: 3 x 1}   # the long one
          - circle: {id: bud, paper: sand, diameter: 1, at: {offset: [2 1/2, 1]}}"""),
        ("left.reeds.stem", {"order": True}, """          - rectangle: {id: stem, paper: moss, size: 3 x 1}   # the long one
          - circle: {id: bud, paper: sand, diameter: 1, at: {offset: [2, 0]}}
""", """          - circle: {id: bud, paper: sand, diameter: 1, at: {offset: [2, 0]}}
          - rectangle: {id: stem, paper: moss, size: 3 x 1}   # the long one
"""),
        # Turned by a quarter, right on the page is up in the cluster.
        ("left.tilted.knot", {"move": [0.25, 0.125]}, "offset: [1/2, 1/4]}}}]}\n    - cluster: {id: twigs", "offset: [5/8, 0]}}}]}\n    - cluster: {id: twigs"),
        ("left.twigs.circle", {"move": [0, 0.125]}, "diameter: 1/2, at: {offset: [1/2, 1/4]", "diameter: 1/2, at: {offset: [1/2, 3/8]"),
        ("right.others.circle", {"move": [0, 0.125]}, None, "there is no `right.others.circle`"),
    ]),
    "fitted": ("""left:
  base: moss
  pieces:
    - panel: {id: sky, paper: sand, size: 3 x 12}
    - panel: {id: sea, paper: moss, size: fit x 5, at: {between: [sky, right edge], bottom: 1/2, margin: 1/4}}
    - rectangle: {id: note, paper: sand, size: fit, at: {on: sea, margin: 1/2}}
    - circle: {id: sun, paper: sand, diameter: 1, at: between sky and right edge}
    - photo: {photo: heron, at: {top: 1}}
    - tag: {id: date, paper: sand, size: 1 1/2 x 3}
  fit:
    - {row: [heron, date], between: [sky, right edge], gap: even}
right:
  base: moss
  pieces:
    - panel: {id: lookout, paper: sand, size: 5 x 4, at: [3, 5]}
    - tag: {id: flap, paper: sand, size: 3 x 1, at: {tucked under: lookout, side: right, shows: 1}}
    - circle: {id: up, paper: sand, diameter: 1, raised: 1/8, at: {above: lookout, gap: 2}}
    - rectangle: {id: torn, paper: sand, size: 3 x 2, torn: {edges: [bottom], allowance: 3/8}, at: {left of: lookout, gap: -1}}
    - border: {id: rim, papers: [moss, sand], block: 1 1/2 x 1 1/2, gap: 1/8, along: round}
""", [
        ("left.sea", {"move": [0.25, -0.25]}, "bottom: 1/2", "bottom: 3/4"),
        ("left.sea", {"move": [0.25, 0]}, None, "between two things"),
        ("left.sea", {"pull": [1, 1]}, "fit x 5", "fit x 6"),
        ("left.note", {"move": [0.25, 0]}, None, "fills what is left across"),
        ("left.note", {"pull": [1, 1]}, None, "in place of `fit`"),
        ("left.sun", {"move": [0, 2]}, "at: between sky and right edge", "at: {between: sky and right edge, top: 2}"),
        ("left.sun", {"move": [1, 0]}, None, "between two things"),
        ("left.heron", {"move": [1, 0.5]}, "{top: 1}", "{top: 1 1/2}"),
        ("left.date", {"move": [1, 0]}, None, "lies in a row that the page fits"),
        ("left.date", {"move": [0, 0.5]}, "1 1/2 x 3}", "1 1/2 x 3, at: {top: 1 1/2}}"),
        ("right.flap", {"move": [0.5, 0.5]}, "shows: 1}", "shows: 1 1/2, top: 5 1/2}"),
        ("right.flap", {"pull": [0.5, 0]}, "3 x 1,", "3 1/2 x 1,"),
        ("right.up", {"pull": [0.5, 0.5]}, "diameter: 1, raised", "diameter: 1 1/2, raised"),
        ("right.torn", {"move": [-0.25, 0]}, "gap: -1", "gap: -3/4"),
        ("right.torn", {"pull": [0.25, 0]}, "3 x 2, torn", "3 1/4 x 2, torn"),
        ("right.rim", {"move": [1, 1]}, None, "runs along its edges"),
        ("right.rim", {"turn": 5}, None, "can't be turned"),
        # What is measured from a piece that the other page hasn't got is measured from the page's edges there.
        ("right.up", {"other-page": None}, """  fit:
    - {row: [heron, date], between: [sky, right edge], gap: even}
right:
  base: moss
  pieces:
    - panel: {id: lookout, paper: sand, size: 5 x 4, at: [3, 5]}
    - tag: {id: flap, paper: sand, size: 3 x 1, at: {tucked under: lookout, side: right, shows: 1}}
    - circle: {id: up, paper: sand, diameter: 1, raised: 1/8, at: {above: lookout, gap: 2}}
""", """    - circle: {id: up, paper: sand, diameter: 1, raised: 1/8, at: [3, 2]}
  fit:
    - {row: [heron, date], between: [sky, right edge], gap: even}
right:
  base: moss
  pieces:
    - panel: {id: lookout, paper: sand, size: 5 x 4, at: [3, 5]}
    - tag: {id: flap, paper: sand, size: 3 x 1, at: {tucked under: lookout, side: right, shows: 1}}
"""),
        ("right.lookout", {"other-page": None}, None, "there is no piece `lookout` on this page"),
    ]),
}
# Line ends, quotes, anchors, metres, one page, lists that are not there: the whole text after one change.
TEXTS = [
    ("no list", "single:\n  base: sand\n", {"add": {"page": "single", "kind": "circle", "keys": {"paper": "moss", "diameter": "1"}}},
     "single:\n  base: sand\n  pieces: [{circle: {diameter: 1, paper: moss}}]\n"),
    ("an empty list", "single:\n  base: sand\n  pieces: []\n", {"add": {"page": "single", "kind": "circle", "keys": {"paper": "moss", "diameter": "1"}}},
     "single:\n  base: sand\n  pieces: [{circle: {diameter: 1, paper: moss}}]\n"),
    ("no title", "single:\n  base: sand\n", {"add-title": {"title": {"words": "Reeds: a day", "height": "1", "paper": "moss"}}},
     "single:\n  base: sand\ntitle: [{height: 1, paper: moss, words: \"Reeds: a day\"}]\n"),
    ("no story", "single:\n  base: sand\n", {"story": {"text": "We went."}}, "there is no story yet"),
    ("CRLF", "single:\r\n  base: sand\r\n  pieces:\r\n    - photo:\r\n        photo: heron\r\n        at: {left: 1, top: 2}   # here\r\n    - circle: {id: a, paper: moss, diameter: 1}",
     {"order": {"element": "single.heron", "up": True}},
     "single:\r\n  base: sand\r\n  pieces:\r\n    - circle: {id: a, paper: moss, diameter: 1}\r\n    - photo:\r\n        photo: heron\r\n        at: {left: 1, top: 2}   # here"),
    ("a story in CRLF", "single:\r\n  base: sand\r\njournaling:\r\n  paper: sand\r\n  strip: {height: 5/16, widest: 3}\r\n  text: >\r\n    We went\r\n    home.\r\n",
     {"story": {"text": "We stayed:\n\"on\" # and on"}},
     "single:\r\n  base: sand\r\njournaling:\r\n  paper: sand\r\n  strip: {height: 5/16, widest: 3}\r\n  text: >\r\n    We stayed:\r\n\r\n    \"on\" # and on\r\n"),
    ("quotes", "single:\n  base: \"sand\"\n  pieces:\n    - \"circle\": {\"id\": 'a b', \"paper\": \"moss\", 'diameter': \"1 1/2\", \"at\": {'left': \"1 1/4\", \"top\": '2'}}\n",
     {"move": {"element": "single.a-b", "by": [0.25, 0.5]}},
     "single:\n  base: \"sand\"\n  pieces:\n    - \"circle\": {\"id\": 'a b', \"paper\": \"moss\", 'diameter': \"1 1/2\", \"at\": {'left': \"1 1/2\", \"top\": '2 1/2'}}\n"),
    ("an alias", "single:\n  base: sand\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 1, at: &here [1, 2]}\n    - circle: {id: b, paper: moss, diameter: 2, at: *here}\n",
     {"move": {"element": "single.b", "by": [1, 1]}}, "can't be changed here"),
    ("an anchor that is needed", "single:\n  base: sand\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 1, at: &here [1, 2]}\n    - circle: {id: b, paper: moss, diameter: 2, at: *here}\n",
     {"delete": {"element": "single.a"}}, "an alias, an anchor"),
    ("the other page, without a list", "left:\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 1}\n    - circle: {id: b, paper: sand, diameter: 1}\nright:\n  base: sand\n",
     {"other-page": {"element": "left.a"}},
     "left:\n  pieces:\n    - circle: {id: b, paper: sand, diameter: 1}\nright:\n  base: sand\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 1}\n"),
    ("a story with an empty line", "single:\n  base: sand\njournaling:\n  paper: sand\n  strip: {height: 5/16, widest: 3}\n  text: >-   # hers\n    We went\n    home.\n",
     {"story": {"text": "We went.\n\nWe  stayed."}},
     "single:\n  base: sand\njournaling:\n  paper: sand\n  strip: {height: 5/16, widest: 3}\n  text: >-   # hers\n    We went.\n\n\n    We  stayed.\n"),
    ("a list that is an alias", "left:\n  base: sand\n  pieces: &same\n    - circle: {id: a, paper: moss, diameter: 1}\nright:\n  base: sand\n  pieces: *same\n",
     {"add": {"page": "right", "kind": "circle", "keys": {"paper": "moss", "diameter": "1"}}}, "is an alias"),
    ("a second mat", "single:\n  base: sand\n  pieces:\n    - photo:\n        photo: heron\n        mats:\n          - {paper: moss, reveal: 1/4}   # near\n        at: [1, 1]\n",
     {"key": {"element": "single.heron", "key": "mats", "value": "[{paper: moss, reveal: 1/4}, {paper: sand, reveal: 1/8}]"}},
     "single:\n  base: sand\n  pieces:\n    - photo:\n        photo: heron\n        mats:\n          - {paper: moss, reveal: 1/4}   # near\n          - {paper: sand, reveal: 1/8}\n        at: [1, 1]\n"),
    ("the other page, with what is said of it", "left:\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 1}   # the moon\n    - circle: {id: b, paper: sand, diameter: 1}\nright:\n    pieces:\n        - circle: {id: c, paper: sand, diameter: 1}\n",
     {"other-page": {"element": "left.a"}},
     "left:\n  pieces:\n    - circle: {id: b, paper: sand, diameter: 1}\nright:\n    pieces:\n        - circle: {id: c, paper: sand, diameter: 1}\n        - circle: {id: a, paper: moss, diameter: 1}   # the moon\n"),
    ("a kit", "copies: 3\nsingle:\n  copies: 2\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 25 mm, copies: 2, at: [1/4 page, 0]}\n",
     {"move": {"element": "single.a", "by": [3, 0.5]}}, "copies: 3\nsingle:\n  copies: 2\n  pieces:\n    - circle: {id: a, paper: moss, diameter: 25 mm, copies: 2, at: [1/2 page, 1/2]}\n"),
    ("metres", "units: mm\nsingle:\n  pieces:\n    - rectangle: {id: a, paper: moss, size: 50 x 30, at: {below: b, gap: 10, align: center}}\n    - circle: {id: b, paper: sand, diameter: 40}\n",
     {"move": {"element": "single.a", "by": [1 / 25.4, 2 / 25.4]}},
     "units: mm\nsingle:\n  pieces:\n    - rectangle: {id: a, paper: moss, size: 50 x 30, at: {below: b, gap: 12, align: center, left: -4}}\n    - circle: {id: b, paper: sand, diameter: 40}\n"),
]


def forms(tally, program):
    """Each way of writing an element: what is asked of it changes just its measure, or is refused in plain words."""

    def changed(served, what, asked, first, wanted, refusal):
        status, told = served.change(asked)
        now = served.file.read_bytes().decode()
        if refusal:
            said = f"{told.get('message')} {told.get('help')}" if isinstance(told, dict) else told
            tally.case(status == 422 and refusal in said and now == first, f"{what} is refused: {status} {said}")
            return
        tally.case(status == 200 and now == wanted, f"{what}: {status} {told if status != 200 else now}")
        if now != first:
            served.ask("POST", served.at("undo"))
            tally.case(served.file.read_bytes().decode() == first, f"{what} is taken back")

    for name, (text, rows) in FORMS.items():
        text = PAPERS + text
        with Served(program, text, files=False) as served:
            state = served.state()
            names = [element["id"] for element in state["elements"]]
            tally.case(not state["mistake"] and len(names) == len(set(names)), f"{name}: each is listed once: {names} {state['mistake']}")
            for element, asked, old, new in rows:
                kind, value = next(iter(asked.items()))
                keys = {"move": {"by": value}, "pull": {"by": value}, "turn": {"degrees": value}, "order": {"up": value}}.get(kind, {})
                wanted = text.replace(old, new) if old else None
                tally.case(not old or text.count(old) == 1, f"{name}: `{old}` stands once")
                changed(served, f"{name}: {kind} {element}", {kind: {"element": element, **keys}}, text, wanted, None if old else new)
    for name, text, asked, wanted in TEXTS:
        with Served(program, files=False) as served:
            ends = "\r\n" if "\r\n" in text else "\n"
            first = PAPERS.replace("\n", ends) + text
            served.file.write_bytes(first.encode())
            tally.case(until(lambda: served.state()["name"] == "Dune garden" and not served.state()["mistake"], name), f"{name} is shown: {served.state()['mistake']}")
            refused = wanted if "\n" not in wanted else None
            changed(served, name, asked, first, PAPERS.replace("\n", ends) + wanted, refused)
