#!/usr/bin/env python3
"""Walks docs/first-day.md: every `$ headroom ...` of its console blocks is run, in order, in one new home on the day that the
page is set on, and must say what stands below it. The typing must fit into three minutes.

    first_day.py PROGRAM            0 when the page is true
    first_day.py --write PROGRAM    puts what is said now into the page, to be read and reviewed
"""
import difflib
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT / "tests/cli"))
import run_case  # noqa: E402  (the same home, clock and environment as the golden cases)

PAGE = ROOT / "docs/first-day.md"
BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
KEYS_A_MINUTE = 200  # 40 words of five letters: an ordinary typist; common practice, no source
MINUTES = 3


def walk(program, text):
    """The page with each command's own words below it, and the keys pressed."""
    keys = 0
    with tempfile.TemporaryDirectory(prefix="headroom-first-") as folder:
        scratch = pathlib.Path(folder).resolve()
        case = scratch / "case"
        case.mkdir()
        (case / "at").write_text(re.search(r"<!-- at ([0-9: -]+) -->", text).group(1))
        env = run_case.environment(program, case, scratch)
        # A place that can be printed: the home that XDG falls back to.
        for name in ("DATA", "STATE", "CACHE", "CONFIG"):
            env.pop(f"XDG_{name}_HOME")
        here = scratch / "home"
        here.mkdir(exist_ok=True)
        for name, source in re.findall(r"<!-- file ([^ ]+) is ([^ ]+) -->", text):
            shutil.copy(ROOT / source, here / name)

        def run(match):
            nonlocal keys
            out = ""
            for command in re.findall(r"^\$ (.*)$", match.group(1), re.MULTILINE):
                keys += len(command) + 1
                done = subprocess.run(["bash", "-c", command], env=env, cwd=here, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                      stderr=subprocess.STDOUT, text=True, timeout=60, check=False)
                if done.returncode not in (0, 3):
                    raise SystemExit(f"{command}: ended with {done.returncode}: {done.stdout}")
                out += f"$ {command}\n" + done.stdout.replace(str(here), "/home/owner")
            return f"```console\n{out}```"

        return BLOCK.sub(run, text), keys


def main(arguments):
    write = arguments[:1] == ["--write"]
    program = pathlib.Path(arguments[-1]).resolve()
    text = PAGE.read_text()
    now, keys = walk(program, text)
    if write:
        PAGE.write_text(now)
    elif now != text:
        sys.stdout.writelines(difflib.unified_diff(text.splitlines(True), now.splitlines(True), "docs/first-day.md", "said now"))
        return 1
    if keys > KEYS_A_MINUTE * MINUTES:
        print(f"{keys} keys: more than {MINUTES} minutes of typing")
        return 1
    print(f"docs/first-day.md is true; {keys} keys, {keys / KEYS_A_MINUTE:.1f} minutes of typing")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
