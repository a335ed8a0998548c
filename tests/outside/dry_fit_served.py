"""The dry-fit's page as its checks and benches use it: served for the demo, and open in Chromium."""

import http.client
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from PIL import Image
from ruamel.yaml import YAML

ROOT = Path(__file__).resolve().parents[2]
FLAGS = ("--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
         "--disable-component-update --disable-sync").split()
# How long the page may take on a busy machine before it counts as stuck, in seconds. No time is measured here.
PATIENCE = 60


class Served:
    """The demo in a folder of its own, with a page."""

    def __init__(self, program, text=None, files=True, more=(), before=()):
        self.program = str(Path(program).resolve())
        self.folder = Path(tempfile.mkdtemp())
        templates = ROOT / "templates"
        if files:
            shutil.copytree(templates / "kite-day", self.folder / "kite-day")
        self.file = self.folder / "kite-day.yaml"
        self.file.write_text(text if text is not None else (templates / "kite-day.yaml").read_text())
        self.start(more, before)

    def start(self, more=(), before=()):
        self.process = subprocess.Popen([*before, self.program, "dry-fit", "kite-day.yaml", *more], cwd=self.folder,
                                        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True)
        lines = []
        while True:
            line = self.process.stdout.readline()
            lines.append(line)
            if "Ctrl-C" in line or not line:
                break
        told = "".join(lines)
        addresses = re.findall(r"http://\S+", told)
        if not addresses:
            raise RuntimeError(f"no address: {told}{self.process.stderr.read()}")
        self.url = addresses[0]
        self.share = addresses[1] if len(addresses) > 1 else None
        self.port = int(re.search(r":(\d+)/", self.url)[1])
        self.word = self.url.rstrip("/").split("/")[-1]

    def said(self):
        return YAML(typ="safe").load(self.file.read_text())

    def piece(self, page, name):
        """The keys of an element by its id."""
        for item in self.said()[page]["pieces"]:
            for kind, keys in item.items():
                if keys.get("id") == name or keys.get("photo") == name:
                    return {"kind": kind, **keys}
        return None

    def ask(self, method, path, body=None, headers=None, host=None):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        own = {"Host": host or f"127.0.0.1:{self.port}"}
        if method == "POST":
            own.update({"Origin": f"http://127.0.0.1:{self.port}", "Content-Type": "application/json"})
        own.update(headers or {})
        own = {name: value for name, value in own.items() if value is not None}
        try:
            connection.request(method, path, body, own)
            response = connection.getresponse()
            return response.status, dict(response.getheaders()), response.read()
        except (BrokenPipeError, ConnectionError):
            return 0, {}, b""
        finally:
            connection.close()

    def at(self, path):
        return f"/{self.word}/{path}"

    def state(self):
        return json.loads(self.ask("GET", self.at("state"))[2])

    def change(self, asked, version=None):
        version = self.state()["version"] if version is None else version
        status, _, body = self.ask("POST", self.at("change"), json.dumps({"version": version, "asked": asked}))
        return status, json.loads(body) if body[:1] == b"{" else body

    def stop(self, sign=signal.SIGKILL):
        try:
            os.killpg(self.process.pid, sign)
        except ProcessLookupError:
            pass
        self.process.wait()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)


def until(check, what):
    """Waits until something is so."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        try:
            if check():
                return True
        except (OSError, ValueError, KeyError, TypeError):
            pass
        time.sleep(0.05)
    print(f"  never so: {what}", file=sys.stderr)
    return False


class Browser:
    """A page in Chromium, with what it complains of."""

    def __init__(self, browser, served, width=1400, height=900, **more):
        self.faults = []
        self.page = browser.new_context(viewport={"width": width, "height": height}, **more).new_page()
        self.page.set_default_timeout(PATIENCE * 1000)
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("console", lambda message: self.note(message))
        self.page.goto(served.url)
        self.page.wait_for_selector(".on-page")
        self.page.wait_for_selector("#picture svg")

    def note(self, message):
        # An answer that refuses is told by the browser as well; the page shows it.
        if message.type == "error" and "status of 4" not in message.text:
            self.faults.append(message.text)

    def picture(self, path):
        """The page as it is seen, in 256 colours: small enough for a README."""
        self.page.screenshot(path=path)
        with Image.open(path) as seen:
            small = seen.convert("RGB").quantize(256)
        small.save(path, optimize=True)

    def box(self, name):
        return self.page.locator(f'[data-id="{name}"]').bounding_box()

    def inch(self, name, size):
        return self.box(name)["width"] / size

    def drag(self, name, by, hold=None, at=(0.5, 0.5)):
        """Drags a piece by some pixels."""
        box = self.box(name)
        x, y = box["x"] + box["width"] * at[0], box["y"] + box["height"] * at[1]
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.mouse.move(x + by[0] / 2, y + by[1] / 2)
        self.page.mouse.move(x + by[0], y + by[1])
        if hold:
            hold()
        self.page.mouse.up()

    def settled(self, served):
        """Waits until the page shows what the server has."""
        return until(lambda: self.page.evaluate("document.getElementById('undo').disabled") ==
                     (served.state()["undo"] == 0), "the page shows the file")
