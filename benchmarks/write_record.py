#!/usr/bin/env python3
"""Runs every benchmark of a build tree and writes what was measured as a Markdown record.

    python3 benchmarks/write_record.py BUILD/benchmarks > benchmarks/records/MACHINE_KIND.md
"""
import glob
import json
import os
import subprocess
import sys

NANOSECONDS = {"ns": 1.0, "us": 1e3, "ms": 1e6, "s": 1e9}


def shown(ns):
    for unit, size in (("s", 1e9), ("ms", 1e6), ("us", 1e3)):
        if ns >= size:
            return f"{ns / size:.3g} {unit}"
    return f"{ns:.3g} ns"


def main():
    programs = sorted(glob.glob(os.path.join(sys.argv[1], "lw_benchmark_*")))
    programs = [p for p in programs if os.access(p, os.X_OK) and os.path.isfile(p)]
    if not programs:
        sys.exit("no benchmark programs in " + sys.argv[1])
    programs.sort(key=lambda p: "right_hand_side" not in p)
    context, rows, load = {}, [], os.getloadavg()[0]
    for program in programs:
        out = subprocess.run([program, "--benchmark_format=json"], check=True, stdout=subprocess.PIPE)
        result = json.loads(out.stdout)
        context = context or result["context"]
        for b in result["benchmarks"]:
            if b.get("aggregate_name") == "median":
                rows.append(b)
    print("# Measured speeds\n")
    print("Written by `benchmarks/write_record.py`; the programs and what they run: `benchmarks/*.cpp`.\n")
    for key in ("machine", "compiler", "build", "commit", "one right-hand side"):
        print(f"- {key}: {context[key]}")
    print(f"- processors: {context['num_cpus']}; load when begun: {load:.1f}; {context['date'][:10]}\n")
    print("Medians of 20. Times real time and multiples of one right-hand side are of processor time; on a machine")
    print("busy with other work the clock on the wall shows more. (The packaged benchmark library says it was built for")
    print("debugging: it only counts and averages here.)\n")
    print("| what | processor time | wall | times real time | right-hand sides | besides |")
    print("|---|---|---|---|---|---|")
    known = {"times_real_time", "right_hand_sides"}
    plain = set("name run_name run_type repetitions threads iterations real_time cpu_time time_unit family_index "
                "per_family_instance_index repetition_index aggregate_name aggregate_unit label".split())
    for b in rows:
        unit = NANOSECONDS[b["time_unit"]]
        name = b["run_name"].split("/repeats")[0]
        besides = ", ".join(f"{k.replace('_', ' ')} {v:.0f}" for k, v in b.items() if k not in known | plain)
        real = f"{b['times_real_time']:.0f}" if "times_real_time" in b else ""
        multiple = f"{b['right_hand_sides']:.0f}" if "right_hand_sides" in b else "1"
        print(f"| {name} | {shown(b['cpu_time'] * unit)} | {shown(b['real_time'] * unit)} | {real} | {multiple} | {besides} |")


main()
