#!/usr/bin/env python3
"""Every --json answer, from real books, against its JSON Schema (draft 2020-12) in docs/schemas. Every schema is used, and each is
shown to refuse an answer with a member too many or too few: one that cannot fail would catch no drift.

    answers_match_schemas.py PROGRAM
"""
import copy
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

# Debian's own python3 holds python3-jsonschema; another one first in PATH may not.
try:
    import jsonschema
except ImportError:
    if sys.executable == "/usr/bin/python3":
        raise
    os.execv("/usr/bin/python3", ["/usr/bin/python3", *sys.argv])

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
DATA = ROOT / "tests/data"


def schemas():
    """Each schema with the shared parts put in, so that nothing is looked up elsewhere."""
    files = {p.stem: json.loads(p.read_text()) for p in sorted((ROOT / "docs/schemas").glob("*.json"))}
    common = files.pop("common")
    jsonschema.Draft202012Validator.check_schema(common)
    for name, schema in files.items():
        jsonschema.Draft202012Validator.check_schema(schema)
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema", name
        assert schema["additionalProperties"] is False, name
        text = json.dumps(schema).replace('"common.json#/$defs/', '"#/$defs/')
        files[name] = {**json.loads(text), "$defs": common["$defs"]}
    return files


class Books:
    def __init__(self, program, folder):
        self.program = program
        self.folder = pathlib.Path(folder)
        self.env = {"PATH": "/usr/bin:/bin", "TZ": "UTC", "LANG": "C.UTF-8", "HOME": folder}
        for name in ("DATA", "STATE", "CACHE", "CONFIG"):
            self.env[f"XDG_{name}_HOME"] = f"{folder}/{name.lower()}"
        self.env.update({k: v for k, v in os.environ.items() if k.endswith("SAN_OPTIONS")})

    def answer(self, *arguments, book=None, code=(0, 3)):
        command = [self.program, "--json", *(["--book", book] if book else []), *arguments]
        done = subprocess.run(command, cwd=self.folder, env=self.env, capture_output=True, text=True, check=False, timeout=120)
        assert done.returncode in code, f"{arguments}: {done.returncode} {done.stderr}"
        return json.loads(done.stdout)


def answers(books):
    """(schema, answer) of real calls: an empty book, a young one, a damaged one, and the season."""
    igc = sorted(str(p) for p in (DATA / "igc").glob("*.igc"))[:6]
    gpx = sorted(str(p) for p in (DATA / "gpx").glob("*.gpx"))[:4]
    yield "book-state", books.answer()
    yield "brief", books.answer("brief")
    yield "due", books.answer("due")
    yield "book-list", books.answer("book", "list")
    yield "book-verify", books.answer("book", "verify")
    yield "units", books.answer("units")
    yield "debrief", books.answer("debrief", "--look-only", *igc, *gpx, code=(0, 2))
    yield "debrief", books.answer("debrief", *igc, *gpx, "nothing.igc", __file__, code=(2,))
    yield "debrief", books.answer("debrief", igc[0])  # again
    for entry in (["hours", "41.2"], ["part", "reserve", "white", "--made", "2021"], ["finding", "worn", "--part", "engine"], ["left", "2 L"],
                  ["service", "plug"], ["mixed", "10 L", "--ratio", "50"], ["plug", "tan"], ["head", "200C"]):
        last = books.answer("enter", *entry)
        yield "enter", last
    yield "correction", books.answer("enter", "amend", str(last["number"]), "head", "190C", "--reason", "misread")
    yield "correction", books.answer("enter", "void", str(last["number"]), "--reason", "another engine")
    yield "correction", books.answer("enter", "void", str(last["number"] + 2), "--reason", "this one")
    yield "book-show", books.answer("book", "show", str(last["number"]))
    yield "book-show", books.answer("book", "show", "1")
    yield "book-list", books.answer("book", "list", "--all")
    for part in ("engine", "reserve"):
        yield "book-history", books.answer("book", "history", part)
    yield "units", books.answer("units", "us", "--zone", "Europe/Lisbon")
    yield "book-state", books.answer()
    yield "brief", books.answer("brief", "--planned", "1h30")
    yield "due", books.answer("due", "--by", "2031-01-01")
    yield "book-export", books.answer("book", "export", "copy")
    yield "book-export", books.answer("book", "export", "open", "--without-private")
    yield "book-import", books.answer("book", "import", "copy", book="other.db")
    yield "book-import", books.answer("book", "import", "open", book="third.db")
    yield "book-verify", books.answer("book", "verify", book="third.db")
    yield "book-list", books.answer("book", "list", "--all", book="third.db")
    yield "book-show", books.answer("book", "show", "2", book="third.db")

    yield "demo", books.answer("demo", "season")
    season = "season/book.db"
    yield "book-state", books.answer(book=season)
    yield "brief", books.answer("brief", "--all", book=season)
    yield "due", books.answer("due", book=season)
    yield "book-list", books.answer("book", "list", "--all", book=season)
    for part in ("engine", "wing", "propeller", "reserve"):
        yield "book-history", books.answer("book", "history", part, book=season)
    yield "book-verify", books.answer("book", "verify", book=season)

    damaged = books.folder / "damaged.db"
    books.answer("enter", "note", "a sentence that is changed", book="damaged.db")
    bytes_ = damaged.read_bytes()
    wal = books.folder / "damaged.db-wal"
    if wal.exists():
        wal.write_bytes(wal.read_bytes().replace(b"sentence", b"sentance"))
    damaged.write_bytes(bytes_.replace(b"sentence", b"sentance"))
    yield "book-verify", books.answer("book", "verify", book="damaged.db", code=(1,))
    yield "book-list", books.answer("book", "list", book="damaged.db")
    yield "book-show", books.answer("book", "show", "18", book="damaged.db", code=(1,))

    for wrong in (["brief", "--planned", "soon"], ["nonsense"], ["enter"], ["enter", "head", "2000C"], ["enter", "void", "1", "--reason", "x"],
                  ["book", "show", "zz"], ["book", "history", "sail"], ["demo", "season"]):
        yield "error", books.answer(*wrong, code=(1, 2))
    (books.folder / "letter.txt").write_text("Dear book,\n" * 100)
    yield "error", books.answer("brief", book="letter.txt", code=(1, 2))


def drifted(schema, answer):
    """Answers that a good schema refuses."""
    yield "a member too many", {**answer, "something_new": 1}
    for name in schema["required"]:
        yield f"no {name}", {k: v for k, v in answer.items() if k != name}
    for name, value in answer.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            deeper = copy.deepcopy(answer)
            deeper[name][0]["something_new"] = 1
            yield f"a member too many in {name}", deeper
    # A number where none can be.
    for name, value in answer.items():
        if isinstance(value, (int, float, str)) and not isinstance(value, bool):
            yield f"a wrong {name}", {**answer, name: [value]}


def main(program):
    bad = []
    known = schemas()
    used = dict.fromkeys(known, 0)
    with tempfile.TemporaryDirectory(prefix="headroom-json-") as folder:
        for name, answer in answers(Books(program, folder)):
            validator = jsonschema.Draft202012Validator(known[name])
            for error in validator.iter_errors(answer):
                where = "/".join(str(p) for p in error.absolute_path)
                bad.append(f"{name}: {where}: {error.message[:300]}")
            if used[name] == 0 or len(answer) > 3:
                for what, wrong in drifted(known[name], answer):
                    if validator.is_valid(wrong):
                        bad.append(f"{name}: takes {what}")
            used[name] += 1
    bad += [f"{name}: no answer was tried" for name, n in used.items() if n == 0]
    listed = re.findall(r"schemas/([a-z-]+)\.json", (ROOT / "docs/formats/answers.md").read_text())
    bad += [f"{name}: not in docs/formats/answers.md" for name in known if name not in listed]
    print("\n".join(sorted(set(bad))) or f"{sum(used.values())} answers fit their {len(known)} schemas, which refuse what drifts")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(os.path.abspath(sys.argv[1])))
