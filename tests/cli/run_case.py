#!/usr/bin/env python3
"""Runs one golden command-line case against the real program: see README.md beside this file.

    run_case.py PROGRAM CASE_FOLDER            0 when what a person sees is what was reviewed, else a diff and 1
    run_case.py --show PROGRAM CASE_FOLDER     prints what the program said, normalised, to be read and reviewed
"""
import datetime
import difflib
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

SECONDS_ALLOWED = 120
HERE = pathlib.Path(__file__).resolve().parent


def normalised(text, scratch, days):
    """What differs from run to run, replaced by a word; everything else stands as printed."""
    text = text.replace(str(scratch / "DATA"), "DATA").replace(str(scratch), "SCRATCH")
    text = re.sub(r"\b[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}\b", "ID", text)
    text = re.sub(r"\b[0-9a-f]{64}\b", "HASH", text)
    for day in days:
        text = re.sub(day + r"[T ][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?(Z|[+-][0-9]{2}:[0-9]{2})?", "NOW", text)
        text = text.replace(day, "TODAY")
    return text


def environment(program, case, scratch):
    tools = scratch / "bin"
    tools.mkdir()
    (tools / "headroom").symlink_to(program)
    # A path of one length wherever the checkout lies: lines are wrapped before the path in them is replaced.
    (scratch / "DATA").symlink_to(HERE.parent / "data")
    env = {
        "PATH": f"{tools}:/usr/bin:/bin",
        "HEADROOM": str(program),
        "CASE": str(case),
        "DATA": str(scratch / "DATA"),
        "TZ": "UTC",
        "LANG": "C.UTF-8",
        "HOME": str(scratch / "home"),
        "XDG_DATA_HOME": str(scratch / "data"),
        "XDG_STATE_HOME": str(scratch / "state"),
        "XDG_CACHE_HOME": str(scratch / "cache"),
        "XDG_CONFIG_HOME": str(scratch / "config"),
    }
    env.update({name: value for name, value in os.environ.items() if name.endswith("SAN_OPTIONS")})
    if (case / "at").is_file():
        library = next(pathlib.Path("/usr/lib").glob("*/faketime/libfaketime.so.1"), None)
        if library is None:
            sys.exit(f"{case}: needs Debian's libfaketime")
        # The wall clock alone is moved: timeouts and the times of files stay true. The sanitizer's library would come first.
        env.update(LD_PRELOAD=str(library), FAKETIME="@" + (case / "at").read_text().strip(), NO_FAKE_STAT="1", FAKETIME_DONT_FAKE_MONOTONIC="1")
        env["ASAN_OPTIONS"] = "verify_asan_link_order=0:" + env.get("ASAN_OPTIONS", "")
    return env


def run(line, env, folder):
    return subprocess.run(["bash", "-c", line], env=env, cwd=folder, stdin=subprocess.DEVNULL, capture_output=True,
                          timeout=SECONDS_ALLOWED, check=False)


def compared(done, scratch, days):
    return {
        "expected": normalised(done.stdout.decode(errors="replace"), scratch, days),
        "expected.err": normalised(done.stderr.decode(errors="replace"), scratch, days),
        "status": f"{done.returncode}\n",
    }


def outcome(program, case):
    scratch = pathlib.Path(tempfile.mkdtemp(prefix="headroom-cli-", dir="/tmp")).resolve()
    try:
        env = environment(program, case, scratch)
        folder = scratch / "here"
        folder.mkdir()
        (scratch / "home").mkdir()
        if (case / "input").is_dir():
            shutil.copytree(case / "input", folder, dirs_exist_ok=True)
        first_day = datetime.datetime.now(datetime.timezone.utc).date()
        if (case / "setup").is_file():
            made = run("set -e\n" + (case / "setup").read_text(), env, folder)
            if made.returncode != 0:
                sys.exit(f"{case}: setup ended with {made.returncode}\n{made.stderr.decode(errors='replace')}")
        done = run((case / "command").read_text(), env, folder)
        if (case / "at").is_file():
            return compared(done, scratch, set())
        last_day = datetime.datetime.now(datetime.timezone.utc).date()
        return compared(done, scratch, {first_day.isoformat(), last_day.isoformat()})
    finally:
        subprocess.run(["chmod", "-R", "u+rwX", str(scratch)], check=False)
        shutil.rmtree(scratch)


def main(arguments):
    show = arguments[:1] == ["--show"]
    program, case = (pathlib.Path(os.path.abspath(a)) for a in arguments[1 if show else 0:])
    said = outcome(program, case)
    if show:
        for name, text in said.items():
            print(f"--- {name}\n{text}", end="")
        return 0
    differs = False
    for name, text in said.items():
        file = case / name
        # Without the file: standard error is silent and the status 0. What is printed must always be written down.
        reviewed = file.read_text() if file.is_file() else {"expected.err": "", "status": "0\n"}.get(name)
        if reviewed is None:
            sys.exit(f"{case}: no file {name}")
        if text != reviewed:
            differs = True
            sys.stdout.writelines(difflib.unified_diff(reviewed.splitlines(True), text.splitlines(True), f"reviewed {name}", f"said now {name}"))
            print()
    return 1 if differs else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
