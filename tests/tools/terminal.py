#!/usr/bin/env python3
"""What every command prints on a real terminal (a pty): 80 and 40 columns are kept, words are set off by weight and underline
alone and only where the terminal wants it, and never when the answer goes into a pipe.

    terminal.py PROGRAM
"""
import fcntl
import os
import pathlib
import pty
import re
import struct
import subprocess
import sys
import tempfile
import termios

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
CODES = re.compile(r"\x1b\[([0-9;]*)m")  # ECMA-48 SGR


class Terminal:
    def __init__(self, program, folder):
        self.program = program
        self.folder = folder
        self.env = {"PATH": "/usr/bin:/bin", "TZ": "UTC", "LANG": "C.UTF-8", "HOME": folder, "TERM": "xterm-256color"}
        for name in ("DATA", "STATE", "CACHE", "CONFIG"):
            self.env[f"XDG_{name}_HOME"] = f"{folder}/{name.lower()}"
        self.env.update({k: v for k, v in os.environ.items() if k.endswith("SAN_OPTIONS")})

    def says(self, arguments, columns, **environment):
        """Standard output and error as one terminal shows them."""
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        running = subprocess.Popen([self.program, *arguments], cwd=self.folder, env={**self.env, **environment}, stdin=subprocess.DEVNULL,
                                   stdout=theirs, stderr=theirs)
        os.close(theirs)
        text = b""
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
            if not piece:
                break
            text += piece
        os.close(ours)
        running.wait(timeout=60)
        # Progress is drawn over itself and wiped away; each state of it is a line here.
        text = re.sub(r"([0-9]+ of [0-9]+: [^\r\n]*)(?=\r\x1b\[K)", r"\1\n", text.decode())
        return text.replace("\r\x1b[K", "").replace("\r\n", "\n")


def commands(terminal):
    """Every page of help, and the answers of a young book, the season and a few mistakes."""
    def pages(path):
        yield [*path, "--help"]
        listed = subprocess.run([terminal.program, *path, "--help"], capture_output=True, text=True, check=True, env=terminal.env, cwd=terminal.folder)
        if "COMMAND ..." in listed.stdout:
            for name in re.findall(r"^  ([a-z][a-z-]*)  ", listed.stdout, re.MULTILINE):
                # `amend` takes an entry first, and then only what `enter` takes.
                yield from pages([*path, "17", name] if path[-1:] == ["amend"] else [*path, name])
    yield from pages([])
    igc = sorted((ROOT / "tests/data/igc").glob("*.igc"))
    for i, path in enumerate(igc[:6]):
        (pathlib.Path(terminal.folder) / f"{i}.igc").write_bytes(path.read_bytes())
    yield from ([], ["brief"], ["due"], ["book", "list"], ["units"], ["--version"])
    yield ["enter", "hours", "41.2"]
    yield ["enter", "part", "reserve", "the white one that came with the harness", "--made", "2021"]
    yield ["enter", "finding", "a crack in the bracket that holds the exhaust to the frame", "--grounding", "--part", "engine"]
    yield ["enter", "amend", "18", "hours", "41.3", "--reason", "misread, the last digit was half way to the next"]
    yield ["enter", "void", "18", "--reason", "the meter of another engine"]
    yield ["debrief", *[f"{i}.igc" for i in range(6)]]
    yield ["debrief", "--full", *[f"{i}.igc" for i in range(6)]]
    yield ["debrief", "--look-only", "0.igc", "nothing.igc"]
    yield ["demo", "season"]
    for book in ([], ["--book", "season/book.db"]):
        yield from ([*book], [*book, "brief"], [*book, "brief", "--all"], [*book, "due"], [*book, "book", "list"], [*book, "book", "list", "--all"],
                    [*book, "book", "show", "18"], [*book, "book", "show", "20"], [*book, "book", "history", "engine"],
                    [*book, "book", "history", "reserve"], [*book, "book", "verify"], [*book, "--units", "us", "brief"])
    yield ["book", "export", "copy"]
    yield ["--book", "other.db", "book", "import", "copy"]
    yield from (["breif"], ["enter"], ["enter", "hours"], ["brief", "--quick"], ["book", "list", "--kind", "parachute"], ["book", "show", "zz"],
                ["enter", "finding", "worn", "--part", "sail"], ["book", "history", "sail"])


def shown(line):
    return CODES.sub("", line)


def too_long(line, columns):
    """Past the edge, and not because one word, name or path in it is that long itself."""
    text = shown(line)
    indent = len(text) - len(text.lstrip())
    if len(text) <= columns:
        return False
    words = text.split()
    # A label and one long word (an id) cannot be broken either.
    return len(words) > 2 or max(map(len, words)) + indent <= columns - 12


def main(program):
    bad = []
    seen = {"bold": 0, "underlined": 0, "lines": 0, "commands": 0}
    for columns in (80, 40):
        with tempfile.TemporaryDirectory(prefix="headroom-tty-") as folder:
            terminal = Terminal(program, folder)
            for arguments in commands(terminal):
                said = terminal.says(arguments, columns)
                seen["commands"] += 1
                if not said.strip():
                    bad.append(f"{arguments}: says nothing")
                for line in said.split("\n"):
                    seen["lines"] += 1
                    if too_long(line, columns):
                        bad.append(f"{columns} columns, {' '.join(arguments)}: {len(shown(line))} in {shown(line)!r}")
                    on = ""
                    for code in CODES.findall(line):
                        if code not in ("0", "1", "4"):
                            bad.append(f"{arguments}: SGR {code}: no colour is used")
                        seen["bold"] += code == "1"
                        seen["underlined"] += code == "4"
                        on = "" if code == "0" else code
                    if on:
                        bad.append(f"{arguments}: {line!r} leaves {on} on at its end")
                if re.search(r"\x1b(?!\[[014]m)", said) or "\ufdd0" in said or "\ufdd1" in said or "\ufdd2" in said:
                    bad.append(f"{arguments}: other codes than bold and underlined")
    with tempfile.TemporaryDirectory(prefix="headroom-tty-") as folder:
        terminal = Terminal(program, folder)
        if "\x1b[1m" not in terminal.says(["brief"], 80):
            bad.append("nothing bold on a terminal")
        for environment in ({"NO_COLOR": "1"}, {"TERM": "dumb"}, {"TERM": ""}):
            if "\x1b" in terminal.says(["brief"], 80, **environment):
                bad.append(f"{environment}: set off all the same")
        if "\x1b[1m" not in terminal.says(["brief"], 80, NO_COLOR=""):  # empty counts as not set
            bad.append("an empty NO_COLOR is taken for one")
        piped = subprocess.run([program, "brief"], capture_output=True, env=terminal.env, cwd=folder, check=False)
        if b"\x1b" in piped.stdout or b"\xef\xb7" in piped.stdout:
            bad.append("codes in a pipe")
        # A name from outside cannot steer the terminal, nor set words off itself.
        terminal.says(["enter", "note", "\x1b[31mred\x07 \ufdd0bold"], 80)
        if re.search(r"\x1b(?!\[[014]m)|\x07", terminal.says(["book", "list"], 80)):
            bad.append("a note steers the terminal")
    if not seen["bold"] or not seen["underlined"]:
        bad.append("no title was bold or no state underlined")
    print("\n".join(bad) or f"{seen['commands']} answers, {seen['lines']} lines within 80 and 40 columns; {seen['bold']} words bold, {seen['underlined']} underlined")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(os.path.abspath(sys.argv[1])))
