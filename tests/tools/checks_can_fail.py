#!/usr/bin/env python3
"""Plants one fault at a time in a copy of the project and asks that the check made for it fails: a check that cannot fail is none."""
import pathlib
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
FAULTS = [  # the check, the file the fault is added to, the fault
    ("check_layers", "src/core/planted.h", '#pragma once\n#include "formats/format.h"\n'),
    ("check_layers", "src/core/planted.h", "#pragma once\n#include <fstream>\n"),
    ("check_layers", "src/app/planted.cpp", '#include "adapters/system/clock.h"\n'),
    ("check_layers", "src/adapters/system/planted.cpp", '#include "cli/command.h"\n'),
    ("check_layers", "src/cli/planted.cpp", '#include "adapters/system/clock.h"\n'),
    ("check_layers", "src/core/planted.cpp", "auto now = std::chrono::system_clock::now();\n"),
    ("check_words", "src/cli/command_planted.cpp", "\n"),
    ("check_words", "src/core/planted.cpp", 'auto planted = "Name it" ": --field " "NAME.";\n'),
    ("check_words", "src/app/planted.cpp", 'auto planted = typed("--field") + ", see headroom field";\n'),
    ("check_text", "docs/planted.md", "TO" + "DO: write this\n"),
    ("check_text", "docs/planted.md", "see /ho" + "me/somebody/notes\n"),
    ("check_text", "docs/planted.css", "p { color: r" + "ed; }\n"),
    ("check_headers", "src/core/planted.h", "#pragma once\nstd::string planted();\n"),
]


def passes(tree, check):
    return subprocess.run([tree / "tools" / check], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)


def main():
    bad = 0
    with tempfile.TemporaryDirectory(prefix="headroom-checks-") as folder:
        tree = pathlib.Path(folder) / "tree"
        for part in ("src", "tools", "docs"):
            shutil.copytree(ROOT / part, tree / part)
        # One header is enough to see check_headers work; ./check runs it on all of them.
        for check in ("check_layers", "check_words", "check_text"):
            said = passes(tree, check)
            if said.returncode != 0:
                bad += 1
                print(f"{check} fails on the project as it is:\n{said.stdout}")
        for check, file, fault in FAULTS:
            planted = tree / file
            planted.write_text(fault)
            if check == "check_headers":
                alone = pathlib.Path(folder) / "alone"
                shutil.copytree(tree / "tools", alone / "tools")
                (alone / "src/core").mkdir(parents=True)
                shutil.copyfile(planted, alone / "src/core/planted.h")
                said = passes(alone, check)
            else:
                said = passes(tree, check)
            if said.returncode == 0 or "planted" not in said.stdout:
                bad += 1
                print(f"{check} did not name the fault planted in {file}: {fault!r}\n{said.stdout}")
            planted.unlink()
    print(f"{len(FAULTS)} faults planted, {len(FAULTS) - bad} found" if not bad else f"{bad} wrong")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
