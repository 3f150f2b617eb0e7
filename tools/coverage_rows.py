#!/usr/bin/env python3
"""Executed lines of src/ by folder, from the counts that g++ --coverage left in a build folder (called by tools/coverage)."""
import collections
import json
import pathlib
import subprocess
import sys

build = pathlib.Path(sys.argv[1]).resolve()
root = build.parent.parent
hits = collections.defaultdict(lambda: collections.defaultdict(int))  # file -> line -> times executed
notes = sorted(build.rglob("*.gcno"))
for note in notes:
    # The notes name every line that could run, also of a source that no test reached (it has no .gcda).
    said = subprocess.run(["gcov", "--json-format", "--stdout", str(note)], capture_output=True, text=True, cwd=build, check=True).stdout
    for document in filter(None, said.splitlines()):
        for file in json.loads(document)["files"]:
            path = (build / file["file"]).resolve()
            if not path.is_relative_to(root / "src"):
                continue
            for line in file["lines"]:
                hits[path.relative_to(root)][line["line_number"]] += line["count"]
if not hits:
    sys.exit("coverage: no counts of src/ found")

folders = collections.defaultdict(lambda: [0, 0])
files = []
for path, lines in hits.items():
    ran = sum(1 for count in lines.values() if count)
    files.append((len(lines) - ran, path, len(lines)))
    for key in (path.parent, pathlib.Path("all of src")):
        folders[key][0] += ran
        folders[key][1] += len(lines)
print(f"{'folder':34} {'lines':>7} {'executed':>9}")
for folder, (ran, all_lines) in sorted(folders.items(), key=lambda row: (row[0] == pathlib.Path("all of src"), row[0])):
    print(f"{str(folder):34} {all_lines:7} {100 * ran / all_lines:8.1f} %")
print("\nmost lines never executed:")
for missed, path, lines in sorted(files, key=lambda row: (-row[0], row[1]))[:12]:
    if missed:
        print(f"  {missed:4} of {lines:4}  {path}")
