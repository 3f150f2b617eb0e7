#!/usr/bin/env python3
"""The running server against docs/openapi.yaml (OpenAPI 3.1): every operation is asked on a real book, each answer's status, type and members are those that the
document names, and the routes of the source are those of the document. Each schema is shown to refuse an answer with a member too few.

    server_matches_openapi.py PROGRAM
"""
import copy
import http.client
import io
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.parse
import zipfile

# Debian's own python3 holds python3-jsonschema and python3-yaml; another one first in PATH may not.
try:
    import jsonschema
    import yaml
except ImportError:
    if sys.executable == "/usr/bin/python3":
        raise
    os.execv("/usr/bin/python3", ["/usr/bin/python3", *sys.argv])

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
DOCUMENT = yaml.safe_load((ROOT / "docs/openapi.yaml").read_text())
IGC = ROOT / "tests/data"
METHODS = ("get", "post", "delete")


def loaded(file):
    return json.loads(file.read_text()) if file.suffix == ".json" else DOCUMENT


def whole(node, file=ROOT / "docs/openapi.yaml"):
    """The schema with every reference put in its place; `file` is the one it stands in."""
    if isinstance(node, dict):
        if "$ref" in node:
            where, _, pointer = node["$ref"].partition("#")
            target = (file.parent / where) if where else file
            base = loaded(target)
            for part in pointer.strip("/").split("/") if pointer.strip("/") else ():
                base = base[int(part) if isinstance(base, list) else part]
            return whole(base, target)
        return {k: whole(v, file) for k, v in node.items() if k not in ("$id", "$schema")}
    if isinstance(node, list):
        return [whole(x, file) for x in node]
    return node


OPERATIONS = {o["operationId"]: (method, path, whole(o)) for path, item in DOCUMENT["paths"].items()
              for method, o in item.items() if method in METHODS}


class Server:
    def __init__(self, program, folder, book, *more):
        env = {"PATH": "/usr/bin:/bin", "TZ": "UTC", "LANG": "C.UTF-8", "HOME": str(folder)}
        for name in ("DATA", "STATE", "CACHE"):
            env[f"XDG_{name}_HOME"] = f"{folder}/{name.lower()}"
        env.update({k: v for k, v in os.environ.items() if k.endswith("SAN_OPTIONS")})
        self.process = subprocess.Popen([program, "--book", book, "serve", "--port", "0", *more], stdout=subprocess.PIPE, text=True,
                                        env=env)
        self.address = self.process.stdout.readline().strip()
        self.host = self.address.removeprefix("http://").rstrip("/")
        self.asked, self.failed = set(), []

    def stop(self):
        self.process.terminate()
        assert self.process.wait(timeout=20) == 0, "the server did not end well"

    def ask(self, operation, captured=None, query=None, body=None, expect=None, headers=None):
        """The answer, held against the document. `body`: bytes or what becomes JSON."""
        method, path, said = OPERATIONS[operation]
        for name, value in {"book": "own", **(captured or {})}.items():
            path = path.replace("{" + name + "}", urllib.parse.quote(str(value), safe=""))
        if query:
            path += "?" + urllib.parse.urlencode(query)
        send = {"Origin": self.address.rstrip("/"), **(headers or {})}
        if method == "post":
            send["Content-Type"] = "application/octet-stream" if isinstance(body, bytes) else "application/json"
            body = body if isinstance(body, bytes) else json.dumps(body or {}).encode()
        connection = http.client.HTTPConnection(self.host, timeout=120)
        connection.request(method.upper(), path, body=body, headers=send)
        response = connection.getresponse()
        raw = response.read()
        connection.close()
        status = str(response.status)
        told = said["responses"].get(status) or said["responses"].get("default")
        name = f"{method.upper()} {path} {status}"
        if told is None:
            self.failed.append(f"{name}: this status is not in the document: {raw[:300]!r}")
            return None
        if expect is not None and response.status != expect:
            self.failed.append(f"{name}: {expect} was expected: {raw[:300]!r}")
        kind = (response.getheader("Content-Type") or "").split(";")[0]
        content = told.get("content")
        if not content:
            if raw:
                self.failed.append(f"{name}: a body where the document has none")
            return self.mark(operation, response, None)
        if kind not in content and not any(t.endswith("*") for t in content):
            self.failed.append(f"{name}: {kind} is not a type of the document")
            return None
        if kind != "application/json":
            return self.mark(operation, response, raw)
        answer = json.loads(raw)
        schema = content[kind]["schema"]
        for fault in sorted(jsonschema.Draft202012Validator(schema).iter_errors(answer), key=str)[:3]:
            self.failed.append(f"{name}: {fault.json_path}: {fault.message[:300]}")
        for text in texts(answer):
            if re.search(r"headroom [a-z]|--[a-z]|\ufdd4|\ufdd5", text):
                self.failed.append(f"{name}: tells how something is typed: {text}")
        if isinstance(answer, dict) and schema.get("required"):
            less = copy.deepcopy(answer)
            less.pop(schema["required"][0], None)
            if jsonschema.Draft202012Validator(schema).is_valid(less):
                self.failed.append(f"{name}: the schema takes an answer without {schema['required'][0]}")
        return self.mark(operation, response, answer)

    def mark(self, operation, response, answer):
        if response.status < 400:
            self.asked.add(operation)
        return answer

    def job(self, operation, **more):
        begun = self.ask(operation, expect=202, **more)
        events = self.ask("followJob", {"id": begun["job"]}).decode()
        last = [e for e in events.split("\n\n") if e.startswith("event:")][-1]
        kind, data = last.split("\n", 1)
        return kind.removeprefix("event: "), json.loads(data.removeprefix("data: "))


def cut_texts(node):
    """Keys without a value: in YAML a comma ends an unquoted text inside braces."""
    if isinstance(node, dict):
        for k, v in node.items():
            yield from [k] if v is None else cut_texts(v)
    elif isinstance(node, list):
        for v in node:
            yield from cut_texts(v)


def texts(node):
    if isinstance(node, dict):
        for v in node.values():
            yield from texts(v)
    elif isinstance(node, list):
        for v in node:
            yield from texts(v)
    elif isinstance(node, str):
        yield node


def new_id(n):
    return f"0198c0de-0000-7000-8000-{n:012x}"


def walk_entries(server):
    first = {"entries": [{"id": new_id(1), "kind": "head", "value": "198 C"}, {"id": new_id(2), "kind": "plug", "colour": "tan", "reading": "right"}]}
    written = server.ask("enter", body=first, expect=201)
    again = server.ask("enter", body=first, expect=200)
    if [w["number"] for w in written["written"]] != [w["number"] for w in again["written"]]:
        server.failed.append("entries sent twice have other numbers")
    server.ask("enter", body={"entries": [{"id": new_id(1), "kind": "head", "value": "199 C"}]}, expect=409)
    refused = server.ask("enter", body={"entries": [{"id": new_id(3), "kind": "note", "text": "a"}, {"id": new_id(4), "kind": "left", "value": "much"}]}, expect=400)
    if refused["error"]["where"] != "entries.1.value":
        server.failed.append(f"a wrong box is named {refused['error']['where']}")
    server.ask("voidEntry", {"id": new_id(1)}, body={"reason": "typed wrongly"}, expect=201)
    server.ask("voidEntry", {"id": new_id(1)}, body={"reason": ""}, expect=400)


def walk_brief(server):
    server.ask("now", expect=200)
    server.ask("brief", body={}, expect=200)
    server.ask("brief", body={"planned": "45 min", "wind": "240/12kt gust 18kt", "temperature": "18C", "tank": "8 L", "wind_aloft": "250/20kt"}, expect=200)
    refused = server.ask("brief", body={"wind": "strong"}, expect=400)
    if refused["error"]["where"] != "wind":
        server.failed.append(f"a wrong wind is told at {refused['error']['where']}")


def walk_recordings(server, recording):
    kind, data = server.job("addRecording", query={"name": "a <b>name<b>.igc"}, body=recording.read_bytes())
    if kind != "done" or not data["answer"]["recordings"][0]["flights"]:
        server.failed.append(f"a recording was not debriefed: {kind} {str(data)[:300]}")
    answer_is(server, "addRecording", data["answer"], "schemas/debrief.json")
    entry = data["answer"]["recordings"][0]["flights"][0]["entry"]
    if server.ask("flight", {"id": entry}, expect=200)["recording"]["file_name"] != "a <b>name<b>.igc":
        server.failed.append("a recording is called otherwise than it was sent")
    if server.ask("blob", {"sha256": data["answer"]["recordings"][0]["sha256"]}, expect=200) != recording.read_bytes():
        server.failed.append("a recording comes back otherwise than it was sent")
    kind, data = server.job("addRecording", query={"name": "x.igc"}, body=b"no recording at all")
    if kind != "failed":
        server.failed.append("what is no recording was taken")
    return data


def from_source():
    routes = set()
    for file in (ROOT / "src/adapters/http").glob("*_routes.cpp"):
        for method, path in re.findall(r'Route\{Method::(\w+),\s*"([^"]+)"', file.read_text()):
            routes.add(("delete" if method == "remove" else method, path))
    return routes


def main(program):
    failed_text = [f"a description is cut at a comma before: {k}" for k in cut_texts(DOCUMENT)]
    documented = {(method, path) for method, path, _ in OPERATIONS.values()}
    failed = failed_text + [f"in the source and not in the document: {r}" for r in sorted(from_source() - documented)]
    failed += [f"in the document and not in the source: {r}" for r in sorted(documented - from_source())]
    asked = set()
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        subprocess.run([program, "demo", folder / "season"], check=True, stdout=subprocess.DEVNULL,
                       env={"PATH": "/usr/bin:/bin", "HOME": str(folder), "TZ": "UTC", "XDG_STATE_HOME": f"{folder}/state"})
        (folder / "own.pmtiles").write_bytes(MAP)
        recordings = sorted((folder / "season/recordings").glob("*.igc"))
        for book in (folder / "season/book.db", folder / "empty.db"):
            server = Server(program, folder, book, "--map", folder / "own.pmtiles")
            try:
                server.ask("hello", expect=200)
                walk_brief(server)
                walk_entries(server)
                walk_more(server, folder)
                if book.name == "book.db":
                    walk_recordings(server, recordings[-1])
            except (KeyError, IndexError, TypeError) as error:  # an answer that is not as the document has it
                server.failed.append(f"walked no further: {error!r}")
            finally:
                server.stop()
            failed += [f"{book.name}: {f}" for f in server.failed]
            asked |= server.asked
        server = Server(program, folder, folder / "empty.db", "--share")
        try:
            shown = server.ask("pairing", expect=200)
            server.ask("newPairingCode", body={}, expect=200)
            server.ask("pair", body={"code": shown["code"]}, expect=400)
            server.ask("pair", body={"code": server.ask("pairing")["code"]}, expect=204)
            mark = server.ask("pairing")["phones"][0]["mark"]
            server.ask("forgetPhone", {"mark": mark}, expect=204)
            kind, _ = server.job("makeSeason", body={})
            if kind != "done":
                server.failed.append("no season was made")
            if not server.ask("now", {"book": "season"}, expect=200)["invented"]:
                server.failed.append("the season does not say that it is invented")
            server.ask("leaveSeason", expect=204)
            server.ask("now", {"book": "season"}, expect=404)
        finally:
            server.stop()
        failed += server.failed
        asked |= server.asked
    failed += [f"never answered well: {o}" for o in sorted(set(OPERATIONS) - asked)]
    print("\n".join(failed) or f"{len(OPERATIONS)} operations, each asked and as docs/openapi.yaml has it")
    return 1 if failed else 0


# The smallest PNG there is: one grey point (PNG, W3C Recommendation; zlib's stored form of one row).
PNG = bytes.fromhex("89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c63680000000082008177cd72b60000000049454e44ae426082")
# What the server looks at of a map (PMTiles specification, version 3): the mark and the version.
MAP = b"PMTiles\x03" + bytes(range(256)) * 4


def walk_book(server):
    held = server.ask("listEntries", query={"most": 3}, expect=200)
    if len(held["entries"]) != min(3, held["total"]) or [e["number"] for e in held["entries"]] != sorted((e["number"] for e in held["entries"]), reverse=True):
        server.failed.append("entries are not newest first, or not as many as asked")
    server.ask("listEntries", query={"before": "x"}, expect=400)
    last = held["entries"][0]["id"]
    server.ask("enter", body={"entries": [{"id": new_id(20), "kind": "head", "value": "180 C"}]}, expect=201)
    amended = server.ask("amendEntry", {"id": new_id(20)}, body={"reason": "read wrongly", "entry": {"kind": "head", "value": "181 C"}}, expect=201)
    if "181" not in (amended or {}).get("now", ""):
        server.failed.append(f"amended to 181 C, and told as {amended}")
    refused = server.ask("amendEntry", {"id": new_id(20)}, body={"reason": "so", "entry": {"kind": "head", "value": "hot"}}, expect=400)
    if refused["error"]["where"] != "entry.value":
        server.failed.append(f"a wrong box of what is put right is named {refused['error']['where']}")
    for entry in (last, new_id(20)):
        server.ask("showEntry", {"id": entry}, expect=200)
    server.ask("showEntry", {"id": new_id(0xdead)}, expect=404)
    kind, data = server.job("verify", body={})
    if kind != "done" or not data["answer"]["sound"]:
        server.failed.append(f"the book was not found sound: {data}")
    answer_is(server, "verify", data["answer"], "schemas/book-verify.json")
    for private in ("0", "1"):
        archive = server.ask("exportBook", query={"private": private}, expect=200)
        if not zipfile.ZipFile(io.BytesIO(archive)).namelist():
            server.failed.append("an empty archive")
    server.ask("exportBook", query={"private": "yes"}, expect=400)


def walk_machine(server):
    # One after the other: a strip is told of a field that the book holds already.
    for said in (
        {"id": new_id(30), "kind": "field", "field": "Invented Acre", "height": "40 m"},
        {"id": new_id(31), "kind": "strip", "field": "Invented Acre", "strip": "09", "towards": "090", "length": "180 m", "surface": "short grass"},
        {"id": new_id(32), "kind": "obstacle", "field": "Invented Acre", "strip": "09", "obstacle": "trees", "distance": "210 m", "height": "12 m"},
        {"id": new_id(33), "kind": "walked", "field": "Invented Acre", "strip": "09"}):
        server.ask("enter", body={"entries": [said]}, expect=201)
    machine = server.ask("machine", expect=200)
    strips = [s for f in machine["fields"] if f["name"] == "Invented Acre" for s in f["strips"]]
    if [(s["length_m"], len(s["obstacles"])) for s in strips] != [(180, 1)]:
        server.failed.append(f"the strip that was entered is told as {strips}")
    kept = server.ask("keepPhoto", query={"field": "Invented Acre", "id": new_id(34)}, body=PNG, expect=201)
    server.ask("keepPhoto", query={"field": "Invented Acre", "id": new_id(34)}, body=PNG, expect=200)
    if server.ask("blob", {"sha256": kept["sha256"]}, expect=200) != PNG:
        server.failed.append("a photo comes back otherwise than it was sent")
    server.ask("blob", {"sha256": "0" * 64}, expect=404)
    server.ask("keepPhoto", body=b"no picture", expect=400)


def walk_flights(server):
    flown = server.ask("listFlights", query={"skip": 0, "most": 50}, expect=200)
    server.ask("listFlights", query={"most": "many"}, expect=400)
    server.ask("listFlights", query={"all": "1"}, expect=200)
    for line in flown["flights"][:: max(1, len(flown["flights"]) // 4)]:
        page = server.ask("flight", {"id": line["id"]}, expect=200)
        if page["has_track"]:
            series = server.ask("flightSeries", {"id": line["id"]}, expect=200)
            lengths = {len(line["value"]) for line in (series["height"], series["climb"], series["speed"]) if line} | {len(series["t_s"])}
            if len(lengths) != 1:
                server.failed.append(f"lines of {lengths} points")
    server.ask("flight", {"id": new_id(0xdead)}, expect=404)


def walk_shed(server):
    server.ask("shed", expect=200)
    server.ask("enter", body={"entries": [{"id": new_id(40), "kind": "finding", "text": "invented: a loose spring", "grounding": True}]}, expect=201)
    found = server.ask("shed", expect=200)["findings"]
    if found[0]["text"] != "invented: a loose spring" or not found[0]["grounding"]:
        server.failed.append(f"a finding that grounds does not stand first: {found[:1]}")
    server.ask("calcAir", query={"height": "500 m", "temperature": "25 C"}, expect=200)
    refused = server.ask("calcAir", query={"height": "high"}, expect=400)
    if refused["error"]["where"] != "height":
        server.failed.append(f"a wrong height is told at {refused['error']['where']}")
    # Of the kind that WMO-No. 306, FM 15, describes; the place is invented.
    server.ask("calcMetar", query={"text": "METAR XXXX 251150Z 24012G18KT 9999 SCT030 18/09 Q1015"}, expect=200)
    refused = server.ask("calcMetar", query={"text": "sunny"}, expect=400)
    if refused["error"]["where"] != "text":
        server.failed.append(f"a wrong METAR is told at {refused['error']['where']}")
    server.ask("calcLoad", query={"mass": "130 kg", "wing_area": "26", "wing_most": "150 kg", "height": "300 m"}, expect=200)
    server.ask("calcLoad", query={}, expect=400)
    server.ask("calcRun", query={"mass": "130 kg", "strip": "200 m", "wing_area": "26", "thrust": "550 N", "obstacle": "230m/12m; 300m/20m", "wheels": "1"}, expect=200)
    server.ask("calcRun", query={"mass": "130 kg", "strip": "200 m", "wing_area": "26", "thrust": "550 N", "obstacle": "a tree"}, expect=400)
    server.ask("calcSun", query={"latitude": "52.3", "longitude": "0.4", "date": "2026-06-21"}, expect=200)
    server.ask("calcSun", query={"latitude": "52.3"}, expect=400)
    server.ask("calcTurnBack", query={"track": "200", "airspeed": "40 km/h", "wind": "230/12kt", "endurance": "1h45"}, expect=200)
    server.ask("calcTurnBack", query={"track": "200", "airspeed": "40 km/h", "wind": "strong", "endurance": "1h45"}, expect=400)


def answer_is(server, name, answer, schema):
    for fault in list(jsonschema.Draft202012Validator(whole({"$ref": schema})).iter_errors(answer))[:3]:
        nearest = jsonschema.exceptions.best_match([fault])
        server.failed.append(f"the answer of {name}: {nearest.json_path}: {nearest.message[:300]}")


def walk_more(server, folder):
    walk_book(server)
    walk_machine(server)
    walk_flights(server)
    walk_shed(server)
    if server.ask("mapBytes", query={"offset": 10, "length": 20}, expect=200) != MAP[10:30]:
        server.failed.append("another piece of the map than was asked for")
    server.ask("mapBytes", query={"offset": "x"}, expect=400)


if __name__ == "__main__":
    sys.exit(main(os.path.abspath(sys.argv[1])))
