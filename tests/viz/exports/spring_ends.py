"""Where the two ends of a named node's mesh lie in a .gltf at every time of its animation, by glTF's own rules
(translation, rotation, scale of every node down from the root): rows of time, x, y of either end, in metres."""
import base64
import json
import math
import struct
import sys

g = json.load(open(sys.argv[1]))
data = base64.b64decode(g["buffers"][0]["uri"].split(",", 1)[1])
width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}


def values(index):
    a = g["accessors"][index]
    n = a["count"] * width[a["type"]]
    flat = struct.unpack_from("<%df" % n, data, g["bufferViews"][a["bufferView"]]["byteOffset"])
    return [flat[k:k + width[a["type"]]] for k in range(0, n, width[a["type"]])]


node = next(k for k, n in enumerate(g["nodes"]) if n["name"] == sys.argv[2])
parent = {c: k for k, n in enumerate(g["nodes"]) for c in n.get("children", [])}
moves = {}
animation = g["animations"][0]
for channel in animation["channels"]:
    sampler = animation["samplers"][channel["sampler"]]
    moves[channel["target"]["node"], channel["target"]["path"]] = values(sampler["output"])
    clock = values(sampler["input"])
corners = values(g["meshes"][g["nodes"][node]["mesh"]]["primitives"][0]["attributes"]["POSITION"])
ends = (min(p[0] for p in corners), max(p[0] for p in corners))
for row, (time,) in enumerate(clock):
    points = []
    for x, y in ((ends[0], 0), (ends[1], 0)):
        k = node
        while k is not None:
            def of(path, rest):
                return moves[k, path][row] if (k, path) in moves else g["nodes"][k].get(path, rest)
            s, q, t = of("scale", (1, 1, 1)), of("rotation", (0, 0, 0, 1)), of("translation", (0, 0, 0))
            x, y = s[0] * x, s[1] * y
            a = 2 * math.atan2(q[2], q[3])
            x, y = t[0] + math.cos(a) * x - math.sin(a) * y, t[1] + math.sin(a) * x + math.cos(a) * y
            k = parent.get(k)
        points += [x, y]
    print("%.9f" % time, *("%.9f" % v for v in points))
