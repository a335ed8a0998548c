"""Kills and faults at every system call that touches the folders of a run: `faults.py PROGRAM [SCENE ...]`.

`strace` ends the program, or has the call fail, at one call after the other while it builds into a folder
in which a run stands, sets that run aside, or redoes a piece; with and without a call that exchanges two
folders at once. Afterwards the old or the new run stands whole at its path with every file that was put
beside its own, and the next command does its work and leaves nothing but runs.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from common import Tally

OLD = """name: Garden
papers: {leaf: {color: '#3d6b35', sheets: {12 x 12: 9}}}
cutting: {effort: quick}
single:
  pieces:
    - panel: {id: bed, paper: leaf, size: 5 x 6}
    - circle: {id: pond, paper: leaf, diameter: 2, at: {left: 7}}
"""
NEW = "".join(line for line in OLD.replace("5 x 6", "5 x 7").splitlines(True) if "pond" not in line)
FOREIGN = {"notes.txt": b"mine", "cut/mine.svg": b"mine", "swatches/leaf/green.txt": b"mine"}
# Calls that change something, and those that look round; names that a system lacks are left out.
CHANGES = ["mkdir", "mkdirat", "write", "fsync", "fdatasync", "rename", "renameat", "renameat2", "link", "linkat",
           "symlink", "symlinkat", "unlink", "unlinkat", "rmdir", "chmod", "fchmod", "fchmodat", "flock", "openat",
           "copy_file_range", "ftruncate"]
LOOKS = ["getdents64", "statx", "newfstatat", "readlink"]
# One after the other, a call each: which it is makes little difference.
ERRORS = ["ENOSPC", "EIO", "EACCES"]
NO_EXCHANGE = ["-e", "inject=?renameat2:error=EINVAL"]


class Scene:
    """A standing run, a command, and what may stand afterwards."""

    def __init__(self, name, command, spec=OLD, redo=False, more=()):
        self.name, self.command, self.spec, self.redo, self.more = name, command, spec, redo, list(more)


SCENES = [
    Scene("build", ["build", "garden.yaml"], NEW),
    Scene("build, no exchange", ["build", "garden.yaml"], NEW, more=NO_EXCHANGE),
    Scene("set aside", ["build", "garden.yaml", "--set-aside"], NEW, redo=True),
    Scene("redo", ["redo", "out/garden", "--piece", "single.bed"]),
]


def run(program, folder, command, before=()):
    ran = subprocess.run([*before, program, *command], cwd=folder, capture_output=True, text=True,
                         env={**os.environ, "NO_COLOR": "1", "RAYON_NUM_THREADS": "1"})
    return ran.returncode, ran.stderr


def tree(folder):
    folder = Path(folder)
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def standing(program, folder, scene):
    """The folder with the old run in it, files of the user's beside its own."""
    (folder / "garden.yaml").write_text(OLD)
    code, error = run(program, folder, ["build", "garden.yaml"])
    assert code == 0, error
    for name, text in FOREIGN.items():
        file = folder / "out/garden" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text)
    if scene.redo:
        code, error = run(program, folder, ["redo", "out/garden", "--piece", "single.pond"])
        assert code == 0, error
    (folder / "garden.yaml").write_text(scene.spec)


def calls(log, folder):
    """The calls of a log that name something in the folder: which one of its kind each is."""
    counts, found = {}, []
    for line in log.splitlines():
        match = re.match(r"(\w+)\(", line)
        if not match:
            continue
        name = match.group(1)
        counts[name] = counts.get(name, 0) + 1
        if str(folder) in line or '"out' in line:
            found.append((name, counts[name]))
    return found


def whole(files):
    """Whether a run has every file that its record names."""
    try:
        record = json.loads(files["record.json"])
    except (KeyError, ValueError):
        return False
    return all(name in files for name in record["files"])


class Bench:
    def __init__(self, program, scene, work):
        self.program, self.scene, self.work = program, scene, work
        self.model = work / "model"
        self.model.mkdir()
        standing(program, self.model, scene)
        self.old = tree(self.model / "out/garden")
        done = self.copy("done")
        log = work / "log"
        names = ",".join("?" + name for name in CHANGES + LOOKS)
        code, error = run(program, done, scene.command,
                          ["strace", "-y", "-s", "4096", "-o", str(log), "-e", f"trace={names}", *scene.more])
        assert code == 0, error
        self.new = tree(done / "out/garden")
        kept = self.old if scene.redo else self.new
        assert all(kept.get(name) == text for name, text in FOREIGN.items())
        assert whole(self.old) and whole(self.new) and self.old != self.new
        self.calls = calls(log.read_text(errors="replace"), done)

    def copy(self, name):
        folder = self.work / name
        shutil.copytree(self.model, folder, symlinks=True)
        return folder

    def faults(self):
        for place, (name, number) in enumerate(self.calls):
            # Between two changes it makes no difference where the program ends.
            if name in CHANGES:
                yield name, number, "signal=KILL"
            yield name, number, f"error={ERRORS[place % len(ERRORS)]}"

    def tried(self, fault):
        """What is wrong after one fault."""
        name, number, how = fault
        folder = self.copy(f"{name}-{number}-{how}")
        what = f"{self.scene.name}, {how} at {name} {number}"
        inject = ["strace", "-o", "/dev/null", "-e", "trace=none", *self.scene.more]
        inject += ["-e", f"inject={name}:{how}:when={number}"]
        code, error = run(self.program, folder, self.scene.command, inject)
        wrong = list(self.state(folder, what))
        if "KILL" not in how and code not in (0, 1):
            wrong.append(f"{what}: it left with {code}: {error[-300:]}")
        if code == 1 and not ("×" in error and "help" in error):
            wrong.append(f"{what}: it doesn't say what is the matter: {error[-300:]}")
        if code == 0 and tree(folder / "out/garden") != self.new:
            wrong.append(f"{what}: it left with 0, and the new run doesn't stand")
        wrong += self.next_one(folder, what)
        shutil.rmtree(folder)
        return wrong

    def state(self, folder, what):
        there = tree(folder / "out/garden") if (folder / "out/garden").is_dir() else {}
        visible = {name: data for name, data in there.items() if not name.startswith(".redo-")}
        if visible not in (self.old, self.new) and not (self.scene.more and not there):
            yield f"{what}: neither the old nor the new run is whole: {sorted(there)}"
        if self.scene.redo:
            runs = [tree(run) for run in (folder / "out").glob("garden*")]
            if self.old not in runs:
                yield f"{what}: the run that was to be set aside is not whole"

    def next_one(self, folder, what):
        code, error = run(self.program, folder, self.scene.command)
        if code != 0:
            return [f"{what}: the next command left with {code}: {error[-300:]}"]
        wrong = []
        names = sorted(path.name for path in (folder / "out").iterdir())
        extra = [name for name in names if name != "garden" and not re.fullmatch(r"garden-earlier-\d", name)]
        if extra or (not self.scene.redo and names != ["garden"]):
            wrong.append(f"{what}: the next command left {names}")
        there = tree(folder / "out/garden")
        if any(name.startswith(".") for name in there):
            wrong.append(f"{what}: the next command left {sorted(there)}")
        same = {name: data for name, data in there.items() if not name.startswith("redo-2/")}
        if same != self.new:
            wrong.append(f"{what}: after the next command the new run is not whole")
        for run_aside in (folder / "out").glob("garden-earlier-*"):
            if tree(run_aside) not in (self.old, self.new):
                wrong.append(f"{what}: {run_aside.name} is not whole")
        return wrong


def check(program, names):
    tally = Tally("faults")
    for scene in SCENES:
        if names and scene.name not in names:
            continue
        with tempfile.TemporaryDirectory() as work:
            bench = Bench(program, scene, Path(work).resolve())
            faults = list(bench.faults())
            tally.need(len([name for name, _, _ in faults if name.startswith(("rename", "link"))]), scene.name)
            with ThreadPoolExecutor(os.cpu_count()) as pool:
                for wrong in pool.map(bench.tried, faults):
                    tally.case(not wrong, "; ".join(wrong))
            print(f"  {scene.name}: {len(bench.calls)} calls, {len(faults)} faults", flush=True)
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1]), sys.argv[2:]).report() else 1)
