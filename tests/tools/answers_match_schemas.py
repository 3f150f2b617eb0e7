#!/usr/bin/env python3
"""Every --json answer, from real books, against its JSON Schema (draft 2020-12) in docs/schemas. Every schema is used, and each is
shown to refuse an answer with a member too many or too few: one that cannot fail would catch no drift.

    answers_match_schemas.py PROGRAM
"""
import copy
import datetime
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
    yield "calc-air", books.answer("calc", "air", "--height", "5883ft", "--qnh", "30.10inHg", "--temperature", "70F", "--dew-point", "50F")
    yield "calc-air", books.answer("calc", "air", "--pressure", "948hPa")
    for date, latitude in (("2026-06-20", "52.31"), ("2026-06-21", "78.2"), ("2026-12-21", "78.2")):
        yield "calc-sun", books.answer("calc", "sun", "--latitude", latitude, "--longitude", "15.6", "--date", date)
    for report in ("METAR EGXX 201150Z 24015G27KT 200V280 8000 3000SW -RA FEW008CB BKN012 16/14 Q1009", "METAR EGXX 201150Z 2401XKT 9999 16/14",
                   "METAR EGXX 201150Z VRB02KT CAVOK 16/14 Q1009 XYZZY"):
        yield "calc-metar", books.answer("calc", "metar", report)
    run = ["calc", "run", "--mass", "121kg", "--wing-area", "26", "--thrust", "57kgf", "--strip", "180m", "--obstacle", "230m/12m"]
    yield "calc-run", books.answer(*run, "--headwind", "8km/h", code=(3,))
    yield "calc-run", books.answer(*run, "--wheels")
    yield "calc-turn-back", books.answer("calc", "turn-back", "--track", "200", "--airspeed", "40km/h", "--wind", "230/12kt", "--endurance", "1h45")
    yield "calc-turn-back", books.answer("calc", "turn-back", "--track", "200", "--airspeed", "40km/h", "--wind", "calm", "--endurance", "1h45", "--distance", "30km")
    yield "calc-load", books.answer("calc", "load", "--mass", "121kg", "--wing-most", "125kg", "--reserve", "120kg", "--wing-area", "26", code=(3,))
    yield "calc-load", books.answer("calc", "load", "--mass", "121kg", "--before", "116kg")
    yield "field", books.answer("field")
    yield "field", books.answer("field", "describe", "Long meadow", "--height", "420m", "--place", "52.31,0.42", "--landable", "stubble north")
    yield "field", books.answer("field", "strip", "Long meadow", "09", "--towards", "90", "--length", "180m", "--surface", "short grass", "--slope", "2")
    yield "field", books.answer("field", "obstacle", "Long meadow", "09", "trees", "--distance", "230m", "--height", "12m")
    yield "field", books.answer("field", "walked", "Long meadow")
    for case, walk in (("walk_edge", "edge.igc"), ("walk_line", "strip.gpx")):
        yield "field-walk", books.answer("field", "walk", "Long meadow", str(ROOT / "tests/cli/field" / case / "input" / walk))
    yield "field-from-launches", books.answer("field", "from-launches")
    yield "field", books.answer("field", "photo", "Long meadow", str(ROOT / "tests/cli/field/photo/input/green.png"))
    for figure in (["machine_mass", "31kg"], ["wing_mass", "6kg"], ["wing_area", "26"], ["static_thrust", "57kgf"]):
        yield "enter", books.answer("enter", "figure", *figure)
    yield "enter", books.answer("enter", "kit", "radio", "0.4kg", "--place", "left pocket")
    yield "brief", books.answer("brief", "--field", "Long meadow", "--wind", "80/12kt", "--wind-aloft", "90/20kt", "--temperature", "12C",
                                "--tank", "8L", "--visibility", "10km", "--cloud-base", "900m", "--sky", "nothing", "--all-up", "118kg")
    yield "book-state", books.answer()
    yield "brief", books.answer("brief", "--planned", "1h30")
    hour = datetime.datetime.now(datetime.timezone.utc)
    taf = f"TAF EGXX {hour:%d%H}00Z {hour:%d%H}/{hour + datetime.timedelta(hours=12):%d%H} 24008KT 9999 FEW030 PROB30 "
    taf += f"{hour:%d%H}/{hour + datetime.timedelta(hours=9):%d%H} 24018G30KT 3000 TSRA BKN012CB"
    yield "brief", books.answer("brief", "--planned", "1h30", "--taf", taf)
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
    yield "field-from-launches", books.answer("field", "from-launches", "At the barn", "--number", "1", "--write", book=season)
    yield "field-walk", books.answer("field", "walk", "Paced", str(ROOT / "tests/cli/field/walk_line/input/strip.gpx"), "--write", book=season)

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
