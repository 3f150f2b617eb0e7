#!/usr/bin/env python3
"""Names every text of core, app, formats and adapters that tells what to type on the command line outside typed(...)
(src/core/typed.h): such a text is shown by the page too. A literal that is one option and nothing else ("--wind") is where an
error belongs, and stays."""
import pathlib
import re
import sys

LAYERS = ("core", "app", "formats", "adapters")
TOKEN = re.compile(
    r'//[^\n]*|/\*.*?\*/|R"(?P<tag>[^(\s]*)\((?P<raw>.*?)\)(?P=tag)"|"(?P<text>(?:[^"\\\n]|\\.)*)"'
    r"|(?<![0-9A-Za-z_])'(?:[^'\\\n]|\\.)+'|(?P<word>[A-Za-z_]\w*)|(?P<sign>[^\s\w])",
    re.S,
)
TYPED = re.compile(r"headroom [a-z]|(?<![!<\w-])--[a-z]|\bexit (?:code|status)\b|`[a-z]+ [a-z]+`|\bRun book\b")
WHERE = re.compile(r"--[a-z]+(?:-[a-z]+)*")


def literals(code):
    """(line, text, within typed) of each literal; neighbours that the compiler joins are one."""
    out, open_calls, before = [], [], None
    for t in TOKEN.finditer(code):
        text = t["text"] if t["text"] is not None else t["raw"]
        if text is not None:
            if before == "text":
                line, so_far, typed = out[-1]
                out[-1] = (line, so_far + text, typed)
            else:
                out.append((code.count("\n", 0, t.start()) + 1, text, "typed" in open_calls))
            before = "text"
        elif t["word"]:
            before = t["word"]
        elif t["sign"]:
            if t["sign"] == "(":
                open_calls.append(before)
            elif t["sign"] == ")" and open_calls:
                open_calls.pop()
            before = t["sign"]
    return out


def main():
    root = pathlib.Path(__file__).resolve().parent.parent / "src"
    bad = kept = 0
    for layer in LAYERS:
        for path in sorted((root / layer).rglob("*")):
            if path.suffix not in (".cpp", ".h"):
                continue
            for line, text, typed in literals(path.read_text(encoding="utf-8")):
                if not TYPED.search(text):
                    continue
                if typed:
                    kept += 1
                elif not WHERE.fullmatch(text):
                    bad += 1
                    print(f'{path.relative_to(root.parent)}:{line}: "{text}" tells what to type outside typed(...)')
    if kept == 0:
        bad += 1
        print("typed words: not one text in typed(...) was found: this check no longer reads the sources")
    if not bad:
        print(f"words: {kept} texts tell what to type, all in typed(...)")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
