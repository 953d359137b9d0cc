"""Which lines and branches of the layers the tests reach. Started by tools/coverage."""

import argparse
import concurrent.futures
import json
import os
import subprocess
import sys
from pathlib import Path

import testing


class Share:
    def __init__(self):
        self.lines = self.lines_reached = self.branches = self.branches_reached = 0

    def add(self, summary):
        self.lines += summary["lines"]["count"]
        self.lines_reached += summary["lines"]["covered"]
        self.branches += summary["branches"]["count"]
        self.branches_reached += summary["branches"]["covered"]

    def row(self, name):
        return (f"| {name} | {self.lines} | {percent(self.lines_reached, self.lines)} | {self.branches} | "
                f"{percent(self.branches_reached, self.branches)} |")


def percent(part, whole):
    return f"{100 * part / whole:.1f} %" if whole else "-"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("root", type=Path)
    parser.add_argument("build", type=Path)
    parser.add_argument("--missed", metavar="FILE", help="print the lines of a file that no test reaches")
    options = parser.parse_args()
    root, build = options.root.resolve(), options.build.resolve()

    counts, failed = [], []
    tests = testing.all_tests(build)

    def counted(test):
        try:
            return testing.profile(test, build)[0]
        except testing.Fails as failure:
            print(failure, file=sys.stderr)
            failed.append(test.name)
            return failure.folder

    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for number, (test, folder) in enumerate(zip(tests, pool.map(counted, tests)), 1):
            print(f"{number}/{len(tests)} {test.name}", file=sys.stderr)
            if (folder / "counts").exists():
                counts.append(str(folder / "counts"))
    whole = build / "reached" / "whole"
    subprocess.run(["llvm-profdata", "merge", "-sparse", "-o", str(whole), *counts], check=True)
    libraries = [str(testing.library(build, layer)) for layer in testing.LAYERS]
    objects = [libraries[0], *(word for path in libraries[1:] for word in ("-object", path))]

    if options.missed:
        said = subprocess.run(["llvm-cov", "export", "-format=lcov", "-instr-profile", str(whole), *objects], check=True,
                              capture_output=True, text=True).stdout
        wanted, here = (root / options.missed).resolve(), False
        text = wanted.read_text().splitlines()
        for line in said.splitlines():
            if line.startswith("SF:"):
                here = Path(line[3:]).resolve() == wanted
            elif here and line.startswith("DA:") and line.endswith(",0"):
                number = int(line[3:].split(",")[0])
                print(f"{number:5}  {text[number - 1]}")
        return 0

    said = subprocess.run(["llvm-cov", "export", "-summary-only", "-instr-profile", str(whole), *objects], check=True,
                          capture_output=True, text=True).stdout
    layers, files, total = {}, [], Share()
    for file in json.loads(said)["data"][0]["files"]:
        path = Path(file["filename"]).resolve()
        if not path.is_relative_to(root / "index"):
            continue
        name = path.relative_to(root / "index")
        for share in (layers.setdefault(name.parts[0], Share()), total):
            share.add(file["summary"])
        of = Share()
        of.add(file["summary"])
        files.append((name.as_posix(), of))

    print("| layer | lines | reached | branches | reached |")
    print("| --- | --- | --- | --- | --- |")
    for layer in testing.LAYERS:
        if layer in layers:
            print(layers.pop(layer).row(layer))
    for layer, share in layers.items():
        print(share.row(layer))
    print(total.row("all"))
    print(f"\nThe ten files with the most lines that none of the {len(tests)} tests reaches:\n")
    print("| file | lines | reached | branches | reached |")
    print("| --- | --- | --- | --- | --- |")
    files.sort(key=lambda entry: (entry[1].lines_reached - entry[1].lines, entry[0]))
    for name, share in files[:10]:
        print(share.row(name))
    if failed:
        print("\nCounted too, but failed in this slower build: " + ", ".join(sorted(failed)))
    return 0 if total.lines_reached >= 0.9 * total.lines else 1


if __name__ == "__main__":
    sys.exit(main())
