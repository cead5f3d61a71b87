#!/usr/bin/env python3
"""Reads an export by FORMAT.md alone, with nothing of soaktag: checksums, the chain of
hashes, and the mean strength of each group from the log and the plan."""
import datetime, hashlib, json, os, struct, sys, tomllib

FIELDS = [(1, "id", "text"), (2, "kind", "kind"), (3, "at_from", "time"), (4, "at_to", "time"), (5, "device_time", "int"),
          (6, "recorded_at", "time"), (7, "by", "text"), (8, "device", "text"), (9, "count", "int"), (10, "via", "text"),
          (11, "code", "text"), (12, "half", "int"), (13, "stage", "text"), (14, "bath", "text"), (15, "note", "text"),
          (16, "reason", "text"), (17, "measured", "values"), (18, "try", "try"), (19, "faces", "faces"), (20, "ended", "text"),
          (21, "target", "text"), (22, "rule", "text"), (23, "other", "text"), (24, "until_from", "time"), (25, "until_to", "time"),
          (26, "shown", "time"), (27, "issue", "int"), (28, "plan", "text"), (29, "specimens", "specimens"), (30, "dealt_by", "text"),
          (31, "doubt", "text"), (32, "photo", "text"), (33, "photo_type", "text"), (34, "notebook", "text")]
VALUE = [(1, "name", "text"), (2, "text", "text")]
TRY = [(1, "rig", "text"), (2, "reading", "text"), (3, "ended", "text"), (4, "wood_failure_pct", "judged"), (5, "failure_mode", "text"), (6, "state", "text")]
FACES = [(1, "wood_failure_pct", "float"), (2, "failure_mode", "text"), (3, "shallow", "int")]
SPECIMEN = [(1, "prefix", "text"), (2, "serial", "int"), (3, "half", "int"), (4, "name", "text"), (5, "adhesive", "text"),
            (6, "treatment", "text"), (7, "board", "text"), (8, "bonded_block", "text"), (9, "bath", "text"), (10, "order", "int"),
            (11, "bond_length_m", "float"), (12, "bond_width_m", "float"), (13, "parent", "text")]
KINDS = ["", "begun", "plan amended", "issued", "stage", "measured", "tried", "faces", "photo", "ended", "moved", "noted", "clock",
         "accepted", "voided", "exchanged", "relabelled"]
UNITS = {"MPa": 1e6, "kPa": 1e3, "bar": 1e5, "psi": 6894.757293168361, "mm": 1e-3, "cm": 1e-2, "in": 0.0254, "cm2": 1e-4, "mm2": 1e-6, "in2": 0.0254**2}


def leb(n):
    out = b""
    while n > 0x7F:
        out, n = out + bytes([n & 0x7F | 0x80]), n >> 7
    return out + bytes([n])


def value(kind, v):
    if kind == "text":
        return v.encode()
    if kind in ("int", "kind"):
        n = KINDS.index(v) if kind == "kind" else int(v)
        return leb(2 * n if n >= 0 else -2 * n - 1)
    if kind == "time":
        at = datetime.datetime.fromisoformat(v.replace("Z", "+00:00"))
        since = at - datetime.datetime(1970, 1, 1, tzinfo=datetime.timezone.utc)
        return struct.pack(">q", since // datetime.timedelta(milliseconds=1))
    if kind in ("float", "judged"):
        text = repr(float(v))
        return (text[:-2] if text.endswith(".0") else text).encode()
    if kind in ("try", "faces"):
        return fields(TRY if kind == "try" else FACES, v)
    items = [fields(VALUE if kind == "values" else SPECIMEN, item) for item in v]
    return b"".join(leb(len(i)) + i for i in items)


def fields(table, of):
    out = b""
    for tag, name, kind in table:
        v = of.get(name)
        if v or kind == "judged" and v is not None or kind in ("try", "faces") and v is not None:
            b = value(kind, v)
            out += leb(tag) + leb(len(b)) + b
    return out


def quantity(text):
    number, unit = text.split()
    return float(number) * UNITS[unit]


def main(folder):
    def path(name):
        return os.path.join(folder, *name.split("/"))
    for line in open(path("SHA256SUMS"), encoding="utf-8"):
        want, name = line.rstrip("\n").split("  ", 1)
        if hashlib.sha256(open(path(name), "rb").read()).hexdigest() != want:
            sys.exit(name + " was changed")
    events = [json.loads(line) for line in open(path("log.jsonl"), encoding="utf-8")]
    h = hashlib.sha256(b"soaktag event log 1").digest()
    for n, e in enumerate(events, 1):
        h = hashlib.sha256(h + b"\x01" + fields(FIELDS, e)).digest()
        if h.hex() != e["hash"] or n != e["seq"]:
            sys.exit("event %d does not fit the chain of hashes" % n)
    described = json.load(open(path("datapackage.json"), encoding="utf-8"))
    if (described["soaktag_head"], described["soaktag_events"]) != (h.hex(), len(events)):
        sys.exit("the log is not as long as it was")

    about = {}
    for e in events:
        if e.get("target") and e["kind"] != "accepted":
            about.setdefault(e["target"], []).append(e)

    def aside(e):
        return any(not aside(x) for x in about.get(e["id"], []))
    plan = tomllib.load(open(path("plan.toml"), "rb"))
    rigs = {r["name"]: quantity(r["ram_area"]) for r in plan["rig"]}
    bond = [quantity(side) for side in plan["specimen"]["bond"].split(" x ")]
    dealt = {}
    for e in events:
        if e["kind"] in ("begun", "plan amended") and not aside(e):
            dealt.update({s["code"]: s for s in coded(e.get("specimens", []), events)})
    groups, size, broke = {}, {}, set()
    for e in sorted((e for e in events if not aside(e)), key=lambda e: e.get("at_from", "")):
        code = e.get("code")
        if code not in dealt:
            continue
        sides = size.setdefault(code, list(bond))
        for v in e.get("measured", []):
            if v["name"] in ("bond_length", "bond_width"):
                sides[v["name"] == "bond_width"] = quantity(v["text"])
        if e["kind"] == "tried" and e["try"]["ended"] == "separated" and code not in broke:
            broke.add(code)
            mpa = quantity(e["try"]["reading"]) * rigs[e["try"]["rig"]] / (sides[0] * sides[1]) / 1e6
            s = dealt[code]
            groups.setdefault(s["adhesive"] + " " + s["treatment"], []).append(mpa)
    print(json.dumps({g: {"n": len(x), "mean": sum(x) / len(x)} for g, x in groups.items()}))


def coded(specimens, events):
    """The printed code is prefix, serial and check character: found among those that were read."""
    read = {e["code"].rsplit("-", 1)[0]: e["code"] for e in events if e.get("code", "").count("-") == 2}
    for s in specimens:
        bare = "%s-%03d" % (s["prefix"], s["serial"])
        if bare in read:
            yield dict(s, code=read[bare])


main(sys.argv[1])
