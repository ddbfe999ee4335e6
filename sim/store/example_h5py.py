#!/usr/bin/env python3
"""Reads a study with h5py, cell by cell like a notebook, and writes the curves as CSV.

    python3 sim/store/example_h5py.py out/missed_heel/missed_heel.h5 curves/

Needs python3-h5py (and numpy, which comes with it); nothing of this project. The file's standard is FORMAT.md.
"""
import csv
import os
import sys

import h5py
import numpy as np

path, folder = sys.argv[1], sys.argv[2]
os.makedirs(folder, exist_ok=True)
study = h5py.File(path, "r")

# %% What is in it: every set-up, how it ended and what it came to
for name, set_up in study["set_ups"].items():
    print(name, set_up.attrs["name"], "-", set_up.attrs["status"])

# %% A number with its unit: stored in SI, shown as a person reads it
for set_up in study["set_ups"].values():
    if "numbers" not in set_up:
        continue
    table = set_up["numbers"]
    for row, what in enumerate(table["name"][:]):
        if what.decode() == "down weight":
            shown = table["value"][row] * table["display_factor"][row]
            print("%s: down weight %.1f %s" % (set_up.attrs["name"], shown, table["display_unit"][row].decode()))


# %% Any curve: values times display_factor are in display_unit
def read(dataset):
    return dataset[:] * dataset.attrs["display_factor"], dataset.attrs["display_unit"]


def write(name, columns):
    """Columns of one length: (heading, unit, values)."""
    target = os.path.join(folder, name + ".csv")
    with open(target, "w", newline="") as out:
        rows = csv.writer(out)
        rows.writerow(["%s (%s)" % (heading, unit) for heading, unit, _ in columns])
        rows.writerows(zip(*(values for _, _, values in columns)))
    print("wrote", target)


# %% Force against dip, both ways, and every stroke
for index, set_up in study["set_ups"].items():
    for way in ("down", "up"):
        group = set_up.get("statics/" + way)
        if group:
            write("%s_force_%s" % (index, way), [(k, *read(group[k])[::-1]) for k in ("dip", "force")])
    for stroke in set_up.get("strokes", {}):
        group = set_up["strokes/" + stroke]
        columns = [(k, *read(group[k])[::-1]) for k in ("time", "key_dip", "hammer_distance", "finger_force")
                   if k in group]
        if "normal_force" in group:
            values, unit = read(group["normal_force"])
            names = [n.decode() if isinstance(n, bytes) else n for n in group["normal_force"].attrs["column_names"]]
            columns += [("normal force, " + n, unit, np.ravel(values[:, c])) for c, n in enumerate(names)]
        write("%s_stroke_%s" % (index, stroke), columns)
