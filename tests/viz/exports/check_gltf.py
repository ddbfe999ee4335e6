"""Holds a .gltf file against what a viewer relies on (glTF 2.0) and prints what is wrong; nothing when all is well."""
import base64
import json
import math
import struct
import sys

g = json.load(open(sys.argv[1]))
problems = []
data = base64.b64decode(g["buffers"][0]["uri"].split(",", 1)[1], validate=True)
if g["asset"]["version"] != "2.0" or len(data) != g["buffers"][0]["byteLength"]:
    problems.append("version or length of the buffer")
width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}


def values(index):
    a = g["accessors"][index]
    v = g["bufferViews"][a["bufferView"]]
    n = a["count"] * width[a["type"]]
    if v["byteOffset"] % 4 or v["byteLength"] != 4 * n or v["byteOffset"] + 4 * n > len(data):
        problems.append("view of accessor %d" % index)
    flat = struct.unpack_from("<%df" % n, data, v["byteOffset"])
    return [flat[k:k + width[a["type"]]] for k in range(0, n, width[a["type"]])]


for index, a in enumerate(g["accessors"]):
    rows = values(index)
    for c in range(width[a["type"]]):
        for found, said in ((min(r[c] for r in rows), a["min"][c]), (max(r[c] for r in rows), a["max"][c])):
            if abs(found - said) > 1e-5 * max(1, abs(found)):
                problems.append("bounds of accessor %d" % index)
for mesh in g["meshes"]:
    for p in mesh["primitives"]:
        corners = g["accessors"][p["attributes"]["POSITION"]]["count"]
        if (corners % 3 if p.get("mode", 4) == 4 else corners < 2) or p["material"] >= len(g["materials"]):
            problems.append("a mesh of no triangles, lines or material")
        for target in p.get("targets", []):
            if g["accessors"][target["POSITION"]]["count"] != corners or len(mesh["weights"]) != 1:
                problems.append("a morph target that does not fit")
seen = [c for n in g["nodes"] for c in n.get("children", [])]
if sorted(seen) != list(range(1, len(g["nodes"]))):
    problems.append("nodes are no tree")
animation = g["animations"][0]
for channel in animation["channels"]:
    s = animation["samplers"][channel["sampler"]]
    clock, turns = values(s["input"]), values(s["output"])
    if len(clock) != len(turns) or any(b <= a for a, b in zip(clock, clock[1:])):
        problems.append("clock of a channel")
    wanted = {"rotation": 4, "translation": 3, "scale": 3, "weights": 1}[channel["target"]["path"]]
    if any(len(v) != wanted for v in turns):
        problems.append("width of a channel")
    if wanted == 4 and any(abs(math.hypot(*q) - 1) > 1e-5 for q in turns):
        problems.append("a turn that is no unit quaternion")
print("\n".join(problems), end="")
