"""Makes small changes to the layers, one at a time, and sees whether a test notices. Started by tools/mutate.

1. Every test that loads the layer runs once and tells which lines of it it reaches.
2. The places that can be changed are drawn by the seed: every kind of change has its turn, so that a table of constants
   does not crowd out everything else.
3. A changed copy of one source is compiled and linked with the layer's other objects into a library, and this is loaded
   before the layer's own by the tests that reach the line, the layer's first and the quickest of them soonest, until one
   fails. The sources and the build are never touched.
"""

import argparse
import concurrent.futures
import hashlib
import json
import os
import random
import shlex
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import mutants
import testing

SHARE_OF = ["trade", "quality", "diagnosis"]
# Their verdict hangs on time or on who is killed when, and what they look at is the disk.
LEFT_OUT = {"pack/accept_kill_test", "pack/container_confined_test", "pack/costs_test", "pack/hostile_test",
            "shop/append_together_test", "shop/save_kill_test", "store/damage_test", "store/kill_test",
            "store/together_test", "store/watch_test", "tools/pack_hostile_test"}


# A slower test of another layer says of a change in this one what a quicker one has said, or says it by chance.
MOST_SECONDS_ELSEWHERE = 3.5


class Layer:
    def __init__(self, name, build, root):
        self.name, self.build, self.root = name, build, root
        self.own = (f"{name}/", f"outside/{name}")  # how its own tests are named
        self.sources = {path.relative_to(root).as_posix(): path.read_text()
                        for path in sorted((root / "index" / name).glob("*.cc"))}
        self.work = build / "mutate" / name
        self.work.mkdir(parents=True, exist_ok=True)
        self.newest_header = max(path.stat().st_mtime for path in (root / "index").rglob("*.h"))
        self.lock, self.making, self.compiled_headers = threading.Lock(), {}, {}
        self.compile_words = self._compile_words()
        self.link_words = self._link_words()

    def _compile_words(self):
        """How a source of the layer is compiled: without counting, and with warnings that do not stop a mutant, but for a
        function that no longer returns anything, whose doings would be chance."""
        mark = f"/baylore_{self.name}.dir/"
        for entry in json.loads((self.build / "compile_commands.json").read_text()):
            if mark not in entry["command"]:
                continue
            words, kept, skip = shlex.split(entry["command"]), [], False
            for word in words:
                if skip:
                    skip = False
                elif word in ("-o", "-c", "-mllvm", "-MT", "-MF"):
                    skip = True
                elif not word.startswith(("-fprofile", "-fcoverage", "-W", "-MD")):
                    kept.append(word)
            return [*kept, "-Wno-everything", "-Werror=return-type"]
        raise SystemExit(f"no source of {self.name} in the build folder")

    def _link_words(self):
        target = testing.library(self.build, self.name).relative_to(self.build)
        said = subprocess.run(["ninja", "-t", "commands", str(target)], cwd=self.build, check=True, capture_output=True,
                              text=True).stdout.strip().splitlines()[-1]
        words, kept, skip = shlex.split(said), [], False
        for word in words:
            if skip:
                skip = False
            elif word == "-o":
                skip = True
            elif word not in (":", "&&") and not word.endswith(".o") and not word.startswith("-fprofile"):
                kept.append(word)
        return kept

    def headers(self, name):
        """What a source includes, compiled once for all its mutants: up to two thirds of the work of each."""
        path = self.work / (Path(name).name + ".headers")
        compiled = path.with_suffix(".pch")
        lines = "".join(line + "\n" for line in self.sources[name].splitlines() if line.startswith("#include"))
        if self.is_fresh(compiled) and path.exists() and path.read_text() == lines:
            return compiled
        path.write_text(lines)
        said = subprocess.run([*self.compile_words, "-x", "c++-header", str(path), "-o", str(compiled)],
                              capture_output=True, text=True)
        if said.returncode != 0:
            raise SystemExit(f"what {name} includes does not compile:\n{said.stderr}")
        return compiled

    def compile(self, name, text, folder):
        """The object's path, or nothing when it does not compile. The file's name is the same each time, as it is in the
        object."""
        folder.mkdir(parents=True, exist_ok=True)
        source = Path(name).name
        (folder / source).write_text(text)
        with self.lock:
            making = self.making.setdefault(name, threading.Lock())
        with making:
            if name not in self.compiled_headers:
                self.compiled_headers[name] = self.headers(name)
        said = subprocess.run([*self.compile_words, "-include-pch", str(self.compiled_headers[name]), "-c", source,
                               "-o", source + ".o"], cwd=folder, capture_output=True)
        return folder / (source + ".o") if said.returncode == 0 else None

    def is_fresh(self, path):
        """Whether something was compiled after the last change of any header."""
        return path.exists() and path.stat().st_mtime > self.newest_header

    def as_before(self, name, text):
        """A source compiled as it is, or as an earlier run left it."""
        folder = self.work / "as_it_is"
        source, compiled = folder / Path(name).name, folder / (Path(name).name + ".o")
        if self.is_fresh(compiled) and source.read_text() == text:
            return compiled
        return self.compile(name, text, folder)

    def objects(self, pool):
        jobs = {name: pool.submit(self.as_before, name, text) for name, text in self.sources.items()}
        out = {name: job.result() for name, job in jobs.items()}
        for name, path in out.items():
            if path is None:
                raise SystemExit(f"{name} does not compile as it is")
        self.as_it_is = out

    def link(self, changed, path, folder):
        objects = [str(path if name == changed else kept) for name, kept in self.as_it_is.items()]
        library = folder / testing.library(self.build, self.name).name
        said = subprocess.run([*self.link_words, *objects, "-o", str(library)], cwd=self.build, capture_output=True, text=True)
        if said.returncode != 0:
            raise SystemExit(f"{self.name} does not link:\n{said.stderr}")
        return library


class Reach:
    """Which tests reach a line of a layer: its own first, and of either the quickest first."""

    def __init__(self, layer, tests, build):
        self.layer = layer
        self.tests = []  # (seconds, test)
        self.lines = {}  # file -> line -> [place in tests]
        self.counted = {}  # file -> lines that count at all
        self.left_out = []
        chosen = []
        for test in tests:
            if test.name in LEFT_OUT:
                self.left_out.append(test.name)
                continue
            try:
                folder, seconds = testing.profile(test, build)
            except testing.Fails as failure:
                raise SystemExit(str(failure)) from None
            if not (folder / "counts").exists():
                continue
            lines = self._lines(folder, build)
            if not any(any(of.values()) for of in lines.values()):
                continue
            if seconds > MOST_SECONDS_ELSEWHERE and not test.name.startswith(layer.own):
                self.left_out.append(test.name)
            else:
                chosen.append((seconds, test.name, test, lines))
        chosen.sort(key=lambda entry: entry[:2])
        for seconds, _, test, lines in chosen:
            place = len(self.tests)
            self.tests.append((seconds, test))
            for file, of in lines.items():
                for line, count in of.items():
                    self.counted.setdefault(file, set()).add(line)
                    if count:
                        self.lines.setdefault(file, {}).setdefault(line, []).append(place)

    def _lines(self, folder, build):
        note = folder / f"{self.layer.name}.lines"
        if not note.exists() or note.stat().st_mtime < (folder / "counts").stat().st_mtime:
            said = subprocess.run(["llvm-cov", "export", "-format=lcov", "-instr-profile", str(folder / "counts"),
                                   str(testing.library(build, self.layer.name))], capture_output=True, text=True)
            out, file = {}, None
            for line in said.stdout.splitlines():
                if line.startswith("SF:"):
                    path = Path(line[3:]).resolve()
                    file = path.relative_to(self.layer.root).as_posix() if path.is_relative_to(self.layer.root) else None
                elif line.startswith("DA:") and file in self.layer.sources:
                    number, count = line[3:].split(",")[:2]
                    out.setdefault(file, {})[number] = int(count)
            note.write_text(json.dumps(out))
        return {file: {int(line): count for line, count in of.items()}
                for file, of in json.loads(note.read_text()).items()}

    def of(self, mutant):
        """A line that does not count is worked out before the program starts: every test may see it."""
        places = set()
        counts = False
        for line in range(mutant.line, mutant.last_line + 1):
            if line in self.counted.get(mutant.file, ()):
                counts = True
                places.update(self.lines.get(mutant.file, {}).get(line, ()))
        chosen = [self.tests[place] for place in places] if counts else self.tests
        return sorted(chosen, key=lambda entry: (not entry[1].name.startswith(self.layer.own), entry[0]))


def draw(layer, seed):
    """Every mutant of the layer in the order in which they are taken."""
    by_kind = {kind: [] for kind in mutants.KINDS}
    for file, source in layer.sources.items():
        for mutant in mutants.mutants_of(file, source):
            by_kind[mutant.kind].append(mutant)
    turns = []
    for kind in mutants.KINDS:
        order = sorted(by_kind[kind], key=lambda m: (m.file, m.start, m.new))
        random.Random(f"{seed}/{layer.name}/{kind}").shuffle(order)
        turns.append(order)
    random.Random(f"{seed}/{layer.name}").shuffle(turns)
    return [turn[i] for i in range(max(map(len, turns))) for turn in turns if i < len(turn)]


def read_equivalents(path):
    out = {}
    for number, line in enumerate(path.read_text().splitlines(), 1):
        if not line or line.startswith("#"):
            continue
        fields = line.split("\t")
        if len(fields) != 5:
            raise SystemExit(f"{path}:{number}: a line is FILE, NTH, BEFORE, AFTER and WHY with tabs between")
        out[(fields[0], int(fields[1]), fields[2], fields[3])] = fields[4]
    return out


def identity(mutant):
    return mutant.file, mutant.nth, mutant.before, mutant.after


class Examiner:
    def __init__(self, build, resumed):
        self.build = build
        self.results = {}
        self.note = build / "mutate" / "results.jsonl"
        self.lock = threading.Lock()
        self.folders = []
        if resumed and self.note.exists():
            for line in self.note.read_text().splitlines():
                key, result, by = json.loads(line)
                self.results[key] = (result, by)
        else:
            self.note.unlink(missing_ok=True)

    def key(self, layer, mutant):
        text = layer.sources[mutant.file]
        return hashlib.sha256(f"{mutant.file}\0{mutant.start}\0{mutant.end}\0{mutant.new}\0{text}".encode()).hexdigest()

    def examine(self, layer, reach, mutant):
        """What becomes of one mutant: (word, the test that killed it or why)."""
        key = self.key(layer, mutant)
        known = self.results.get(key)
        if known and known[0] != "survived":
            return known
        with self.lock:
            folder = self.folders.pop() if self.folders else self.build / "mutate" / f"place{os.getpid()}-{threading.get_ident()}"
        try:
            result = self._examine(layer, reach, mutant, folder)
        finally:
            with self.lock:
                self.folders.append(folder)
        with self.lock, self.note.open("a") as note:
            note.write(json.dumps([key, *result]) + "\n")
        return result

    def _examine(self, layer, reach, mutant, folder):
        path = layer.compile(mutant.file, mutant.apply(layer.sources[mutant.file]), folder)
        if path is None:
            return "no", ""
        if path.read_bytes() == layer.as_it_is[mutant.file].read_bytes():
            return "same", "the compiler makes the same of both"
        library = layer.link(mutant.file, path, folder)
        tests = reach.of(mutant)
        for seconds, test in tests:
            outcome = testing.run(test, self.build, {"LD_PRELOAD": str(library), "LLVM_PROFILE_FILE": "/dev/null"},
                                  processor_limit=int(10 + 10 * seconds), arguments=["--abort-after=1"])
            if not outcome.passed:
                return ("endless" if outcome.timed_out else "killed"), test.name
        return "survived", f"{len(tests)} tests reach it"


def shares(layers, count):
    """The sample split by the lines of code."""
    lines = {layer.name: sum(text.count("\n") for text in layer.sources.values()) for layer in layers}
    out = {name: count * of // sum(lines.values()) for name, of in lines.items()}
    out[max(lines, key=lines.get)] += count - sum(out.values())
    return out


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("root", type=Path)
    parser.add_argument("build", type=Path)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", default="1")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--resume", action="store_true")
    parser.add_argument("layers", nargs="*")
    options = parser.parse_args()
    root, build = options.root.resolve(), options.build.resolve()
    for name in options.layers:
        if name not in SHARE_OF:
            raise SystemExit(f"no layer to mutate: {name}; there are {', '.join(SHARE_OF)}")
    layers = [Layer(name, build, root) for name in options.layers or SHARE_OF]
    equivalents = read_equivalents(root / "tests/mutation/equivalent.tsv")
    examiner = Examiner(build, options.resume)
    tests = testing.all_tests(build)
    wanted = shares(layers, options.count)

    table, survivors, judged, left_out = [], [], [], set()
    with concurrent.futures.ThreadPoolExecutor(options.jobs) as pool:
        for layer in layers:
            print(f"{layer.name}: what its tests reach", file=sys.stderr)
            reach = Reach(layer, tests, build)
            left_out.update(reach.left_out)
            layer.objects(pool)
            clean = layer.link("", None, layer.work)
            for seconds, test in reach.tests:
                if test.name.startswith(layer.own) and not testing.run(test, build, {"LD_PRELOAD": str(clean), "LLVM_PROFILE_FILE": "/dev/null"}).passed:
                    raise SystemExit(f"{test.name} fails with a library that nobody changed")
            order = draw(layer, options.seed)
            stale = {key for key in equivalents if key[0] in layer.sources} - {identity(m) for m in order}
            for key in stale:
                print(f"tests/mutation/equivalent.tsv speaks of what is no more: {key}", file=sys.stderr)
            count = dict.fromkeys(("killed", "endless", "survived", "no", "same", "judged"), 0)
            at = 0
            while (lacking := wanted[layer.name] - count["killed"] - count["endless"] - count["survived"]) > 0 and at < len(order):
                lot = []
                while len(lot) < lacking and at < len(order):
                    mutant = order[at]
                    at += 1
                    why = equivalents.get(identity(mutant))
                    if why:
                        count["judged"] += 1
                        judged.append((mutant, why))
                    else:
                        lot.append(mutant)
                for mutant, (result, by) in zip(lot, pool.map(lambda m: examiner.examine(layer, reach, m), lot)):
                    count[result] += 1
                    print(f"{result:9} {mutant.file}:{mutant.line} {mutant.before} -> {mutant.after} [{by}]", file=sys.stderr)
                    if result == "survived":
                        survivors.append((mutant, by))
            table.append((layer.name, len(order), count))

    print(f"seed {options.seed}\n")
    print("| layer | places | sampled | killed | of these endless | survived | rate | did not compile | same code | judged equivalent |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    total = dict.fromkeys(table[0][2], 0)
    places = 0
    for name, of, count in [*table, ("all", None, total)]:
        if of is not None:
            places += of
            for word, number in count.items():
                total[word] += number
        killed = count["killed"] + count["endless"]
        sampled = killed + count["survived"]
        print(f"| {name} | {of or places} | {sampled} | {killed} | {count['endless']} | {count['survived']} | "
              f"{100 * killed / max(sampled, 1):.1f} % | {count['no']} | {count['same']} | {count['judged']} |")
    print("\nNot counted: what does not compile, what the compiler makes the same machine code of, and what is judged "
          "equivalent; others were drawn for them.")
    print("Tests left out, as time or a kill decides in them, or as slow ones of another layer: " + ", ".join(sorted(left_out)))
    print("\nSurvived:")
    for mutant, by in survivors:
        print(f"  {mutant.file}:{mutant.line} {mutant.before} -> {mutant.after} ({mutant.kind}, {by})")
    print("\nJudged equivalent:")
    for mutant, why in judged:
        print(f"  {mutant.file}:{mutant.line} {mutant.before} -> {mutant.after}: {why}")
    for folder in examiner.folders:
        shutil.rmtree(folder, ignore_errors=True)
    killed = total["killed"] + total["endless"]
    sys.exit(0 if killed >= 0.85 * (killed + total["survived"]) else 1)


if __name__ == "__main__":
    main()
