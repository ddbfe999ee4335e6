"""Reads a study with h5py alone and prints what a person might ask of it; walks every dataset.

Run by other_programs_test.cpp: python3 read_with_h5py.py FILE
"""
import sys

import h5py

KEYS = ("unit", "display_unit", "display_factor", "frame", "description")


def main(path):
    with h5py.File(path, "r") as study:
        print("format", study.attrs["format"], study.attrs["format_version"])
        print("status", study.attrs["status"])
        print("case", study["case_text"].asstr()[()].splitlines()[0])
        for index in sorted(study["set_ups"]):
            print("set-up", index, study["set_ups"][index].attrs["name"])
        force = study["set_ups/00/statics/down/force"]
        print("force %.6f %s" % (force[2] * force.attrs["display_factor"], force.attrs["display_unit"]))
        ledger = study["set_ups/00/statics/down/ledger"]
        print("ledger", ledger.shape, ",".join(ledger.attrs["column_names"]))
        numbers = study["set_ups/01/numbers"]
        rows = list(numbers["name"].asstr()[:])
        print("down weight %.6f" % numbers["value"][rows.index("down weight")])
        count, lacking = 0, []

        def look(name, item):
            nonlocal count
            if isinstance(item, h5py.Dataset):
                count += 1
                item[()]
                lacking.extend(name + ":" + key for key in KEYS if key not in item.attrs)

        study.visititems(look)
        print("datasets", count, "lacking", len(lacking), *lacking)


main(sys.argv[1])
