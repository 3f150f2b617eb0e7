#!/usr/bin/env python3
"""Presses the tab key in a real bash and a real zsh, on a terminal of their own, and looks at the command line that results.

`headroom` is a shell function that prints its arguments, so that what was completed comes back whole. PATH is an empty folder
while a key is pressed: a completion that ran a program would fail.

    completions_in_shells.py
"""
import os
import pathlib
import pty
import re
import select
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
SECONDS = 20

# What is typed, and what headroom is then given. TAB is one key.
COMPLETED = [
    ("headroom deb\tX", ["debrief", "X"]),  # with the space behind it
    ("headroom de\t", None),  # debrief, demo
    ("headroom br\tX", ["brief", "X"]),
    ("headroom brief --pl\t1h", ["brief", "--planned", "1h"]),
    ("headroom --bo\tfl\t--js\tdu\tX", ["--book", "flight.igc", "--json", "due", "X"]),
    ("headroom enter pl\tta\t--rea\tri\t", None),  # ambiguous: right, rich
    ("headroom enter pl\tta\t--rea\trig\tX", ["enter", "plug", "tan", "--reading", "right", "X"]),
    ("headroom enter servi\t", None),  # ambiguous: service, service-line
    ("headroom enter service reserve_r\tX", ["enter", "service", "reserve_repack", "X"]),
    ("headroom enter alteration prop\tX", ["enter", "alteration", "propeller", "X"]),
    ("headroom enter drill engine\tX", ["enter", "drill", "engine-off-landing", "X"]),
    ("headroom enter amend 17 pl\tbl\tX", ["enter", "amend", "17", "plug", "black", "X"]),
    ("headroom enter amend 17 --rea\tmisread", ["enter", "amend", "17", "--reason", "misread"]),
    ("headroom enter void 17 --rea\ttwice", ["enter", "void", "17", "--reason", "twice"]),
    ("headroom book l\t--ki\tfind\tX", ["book", "list", "--kind", "finding", "X"]),
    ("headroom book exp\tback\t", ["book", "export", "backup"]),  # bash leaves the slash, zsh takes it away
    ("headroom debrief fl\tX", ["debrief", "flight.igc", "X"]),
    ("headroom debrief flight.igc sec\tX", ["debrief", "flight.igc", "second.igc", "X"]),
    ("headroom debrief --lo\tX", ["debrief", "--look-only", "X"]),
    ("headroom units impe\t", ["units", "impe"]),  # nothing fits: left as typed
    ("headroom nosuch\t", ["nosuch"]),
]
# What two presses list.
LISTED = [
    ("headroom de\t\t", ["debrief", "demo"], ["brief"]),
    ("headroom \t\t", ["debrief", "brief", "enter", "due", "book", "units", "demo"], ["docs"]),
    ("headroom enter f\t\t", ["filled", "finding", "flight", "fitted", "field"], ["hours"]),
    ("headroom enter plug \t\t", ["white", "pale", "tan", "dark", "black"], ["hours"]),
    ("headroom brief --\t\t", ["--planned", "--start", "--all", "--book", "--json"], ["--version"]),
]


class Shell:
    def __init__(self, command, setup, folder):
        self.pid, self.terminal = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            os.execve(command[0], command, {"PATH": "/usr/bin:/bin", "TERM": "dumb", "HOME": folder, "LANG": "C.UTF-8", "INPUTRC": "/dev/null", "ZDOTDIR": folder})
        self.text = ""
        self.send(setup + "\n")
        self.wait("READY-1")

    def send(self, text):
        os.write(self.terminal, text.encode())

    def wait(self, wanted):
        end = time.monotonic() + SECONDS
        while not re.search(wanted, self.text):
            if time.monotonic() > end:
                raise TimeoutError(f"no {wanted} in {self.text!r}")
            ready, _, _ = select.select([self.terminal], [], [], 0.2)
            if ready:
                self.text += os.read(self.terminal, 65536).decode(errors="replace")
        said, self.text = self.text, ""
        return said

    def quiet(self, seconds=0.4):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            ready, _, _ = select.select([self.terminal], [], [], 0.05)
            if ready:
                self.text += os.read(self.terminal, 65536).decode(errors="replace")
                end = time.monotonic() + seconds

    def type(self, keys):
        """Each piece up to a tab, with time to answer, as a person types."""
        for piece in re.findall(r"[^\t]*\t|[^\t]+$", keys):
            self.send(piece)
            if piece.endswith("\t"):
                self.quiet(0.15)

    def arguments(self, keys):
        self.text = ""
        self.type(keys)
        self.send("\n")
        said = self.wait(r"GIVEN(<[^>]*>)*DONE")
        return re.findall(r"<([^>]*)>", re.search(r"GIVEN((<[^>]*>)*)DONE", said).group(1))

    def listing(self, keys):
        self.text = ""
        self.type(keys)
        self.quiet()
        said, self.text = self.text, ""
        self.send("\x15\n")  # the line away again
        self.quiet()
        return said.replace(keys.replace("\t", ""), " ", 1)

    def end(self):
        os.close(self.terminal)
        os.waitpid(self.pid, 0)


FUNCTION = "headroom() { printf 'GIVEN'; printf '<%s>' \"$@\"; printf 'DONE\\n'; }"
SHELLS = {
    "bash": (["/bin/bash", "--norc", "--noprofile", "-i"],
             f"PS1='$ '; {FUNCTION}; bind 'set enable-bracketed-paste off'; bind 'set page-completions off'; "
             f"source '{ROOT}/completions/headroom.bash'; PATH=/nowhere; echo READY-$((0+1))"),
    "zsh": (["/bin/zsh", "-f", "-i"],
            f"PS1='$ '; unsetopt zle_bracketed_paste 2>/dev/null; unset zle_bracketed_paste; {FUNCTION}; fpath=('{ROOT}/completions' $fpath); autoload -U compinit; "
            "compinit -u -D; setopt no_auto_menu no_list_beep; PATH=/nowhere; echo READY-$((0+1))"),
}


def main():
    bad = []
    tried = 0
    for name, (command, setup) in SHELLS.items():
        with tempfile.TemporaryDirectory(prefix="headroom-tab-") as folder:
            for file in ("flight.igc", "second.igc"):
                (pathlib.Path(folder) / file).write_text("")
            (pathlib.Path(folder) / "backup").mkdir()
            shell = Shell(command, setup, folder)
            for keys, wanted in COMPLETED:
                given = shell.arguments(keys)
                tried += 1
                typed = keys.replace("\t", " ").split()[1:]
                if wanted is None:  # nothing may be chosen where several fit
                    last = given[-1]
                    if not last.startswith(typed[-1]) or last in ("right", "rich", "service-line", "debrief", "demo"):
                        bad.append(f"{name}: {keys!r} chose {given}")
                elif [g.rstrip("/") for g in given] != wanted:
                    bad.append(f"{name}: {keys!r} gave {given}, not {wanted}")
            for keys, wanted, unwanted in LISTED:
                said = shell.listing(keys)
                tried += 1
                words = set(re.findall(r"[\w.-]+", re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", " ", said)))
                for word in wanted:
                    if word not in words:
                        bad.append(f"{name}: {keys!r} does not list {word}: {said!r}")
                for word in unwanted:
                    if word in words:
                        bad.append(f"{name}: {keys!r} lists {word}")
            shell.end()
    print("\n".join(bad) or f"{tried} lines completed in bash and zsh")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
