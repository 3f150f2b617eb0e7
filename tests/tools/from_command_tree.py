#!/usr/bin/env python3
"""The committed manual pages and completions are what the program writes of itself now; each page is one that man and mandoc
have nothing to say against, and every command has one, with examples.

    from_command_tree.py PROGRAM
"""
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


def said(*command, **environment):
    done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False,
                          env={"PATH": "/usr/bin:/bin", "LANG": "C.UTF-8", "MANWIDTH": "80", **environment})
    return done.returncode, done.stderr


def main(program):
    bad = []
    with tempfile.TemporaryDirectory(prefix="headroom-docs-") as folder:
        subprocess.run([program, "docs", folder], check=True)
        written = {p.relative_to(folder) for p in pathlib.Path(folder).rglob("*") if p.is_file()}
        committed = {p.relative_to(ROOT) for part in ("docs/man", "completions") for p in (ROOT / part).rglob("*") if p.is_file()}
        for path in sorted(written ^ committed):
            bad.append(f"{path}: {'not committed' if path in written else 'no longer written'}")
        for path in sorted(written & committed):
            if (pathlib.Path(folder) / path).read_bytes() != (ROOT / path).read_bytes():
                bad.append(f"{path}: the command tree says something else now; run 'headroom docs .' at the top and read the change")
    pages = sorted((ROOT / "docs/man").glob("*.1"))
    for page in pages:
        code, text = said("man", "--warnings", "-l", "-Tutf8", str(page))
        if code != 0 or text:
            bad.append(f"{page.name}: man --warnings says: {text}")
        done = subprocess.run(["mandoc", "-T", "lint", str(page)], capture_output=True, text=True, check=False)
        if done.returncode != 0 or done.stdout or done.stderr:
            bad.append(f"{page.name}: mandoc -T lint says: {done.stdout}{done.stderr}")
        if ".SH EXAMPLES" not in page.read_text():
            bad.append(f"{page.name}: no examples")
    # Every command of the line in docs/words.md that the program has is a page, and is told of in the program's own page.
    top = (ROOT / "docs/man/headroom.1").read_text()
    for page in pages:
        if page.stem != "headroom" and page.stem.replace("-", "\\-") not in top:
            bad.append(f"{page.name}: not named in headroom.1")
    for kind in re.findall(r"^\.SS (.*)$", (ROOT / "docs/man/headroom-enter.1").read_text(), re.MULTILINE):
        if f"headroom enter {kind}" not in (ROOT / "docs/man/headroom-enter.1").read_text():
            bad.append(f"headroom-enter.1: {kind} has no example")
    print("\n".join(bad) or f"{len(pages)} manual pages and the completions are as the command tree says")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
