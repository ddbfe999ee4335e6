#!/usr/bin/env python3
"""Renews the tables that the programs of tests/validation/experiments write into the handbook.

    python3 tests/renew_tables.py                      run all of them (tens of minutes) and write
    python3 tests/renew_tables.py relocation check     these alone
    python3 tests/renew_tables.py --check relocation   write nothing; exit code 1 where a page is stale
    python3 tests/renew_tables.py --from LOG relocation   take what the program printed before
    python3 tests/renew_tables.py --commit HASH --from LOG ...   printed by the program as of that commit
    python3 tests/renew_tables.py --programs FOLDER ...   where the programs are, else in build-tests

A table of a page belongs to the table of the same heading that the program prints; where several have one heading, to
the one with most names of rows in common. `commit` and a hash after it on the page become the commit of now. Cells
that moved by more than a twentieth are named: the sentences around them have to be read again.
--check lets pass what moved by less than a thirtieth or by two in the last place shown.
"""
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
PROGRAMS = [ROOT / "build-tests/tests/validation/experiments"]
PAGES = {
    "relocation": ("models/handbook/relocation_experiment.md", []),
    "struck": ("models/handbook/struck_experiment.md", []),
    "let_off": ("models/handbook/let_off_experiment.md", []),
    "check": ("models/handbook/check_experiment.md", []),
    "least_speed": ("models/handbook/least_speed.md", []),
    "hard_to_meet": ("models/handbook/hard_to_meet.md", []),
    "options": ("models/handbook/options.md", []),
    "string": ("models/handbook/options.md", []),
    "stuck_capstan": ("models/handbook/leaning_capstan.md", []),
    "prior_predictive": ("models/handbook/priors.md", ["400", "12", "COMMIT"]),
    "shifted_coverage": ("models/handbook/priors.md", ["200", "40", "COMMIT"]),
}


def cells(line):
    return [c.strip() for c in line.strip().strip("|").split("|")]


def find_tables(lines, headless=False):
    """(first line, line after the last, heading, rows) of every table; `headless`: rows without a heading have the
    last one's."""
    out, k = [], 0
    while k < len(lines):
        if lines[k].startswith("|") and k + 1 < len(lines) and re.match(r"^\|[-:| ]+\|?$", lines[k + 1]):
            end = k + 2
            while end < len(lines) and lines[end].startswith("|"):
                end += 1
            out.append((k, end, cells(lines[k]), lines[k + 2:end]))
            k = end
        elif headless and out and lines[k].startswith("|"):
            end = k
            while end < len(lines) and lines[end].startswith("|"):
                end += 1
            out.append((k, end, out[-1][2], lines[k:end]))
            k = end
        else:
            k += 1
    return out


def names(rows):
    return [cells(r)[0] for r in rows]


def best_match(table, printed, taken):
    """The printed table that belongs to the page's."""
    same = [p for p, t in enumerate(printed) if p not in taken and t[2] == table[2]]
    if not same:
        return None
    ours = set(names(table[3]))
    common = {p: len(ours & set(names(printed[p][3]))) for p in same}
    best = max(same, key=lambda p: common[p])
    return best if common[best] > 0 or len(same) == 1 else None


def number(cell):
    try:
        return float(cell.replace("*", "").split()[0])
    except (ValueError, IndexError):
        return None


def step(cell):
    text = cell.replace("*", "").split()[0]
    return 10.0 ** -len(text.split(".")[1]) if "." in text else 1.0


def moved(old_rows, new_rows, share):
    """Cells that moved by more than that share, in words."""
    out = []
    by_name = {cells(r)[0]: cells(r) for r in old_rows}
    for row in new_rows:
        new = cells(row)
        old = by_name.get(new[0])
        if old is None:
            out.append(f"{new[0]}: new")
            continue
        for a, b in zip(old[1:], new[1:]):
            x, y = number(a), number(b)
            if x is None or y is None:
                if a != b:
                    out.append(f"{new[0]}: {a} to {b}")
            elif abs(x - y) > share * max(abs(x), abs(y)) + 2.001 * step(a):
                out.append(f"{new[0]}: {a} to {b}")
    return out


def renew(name, check, log, commit):
    page, arguments = PAGES[name]
    if not commit and not check:
        commit = subprocess.run(["git", "rev-parse", "--short=7", "HEAD"], cwd=ROOT, capture_output=True, text=True,
                                check=True).stdout.strip()
    if log:
        text = pathlib.Path(log).read_text()
    else:
        command = [str(PROGRAMS[-1] / f"{name}_experiment")] + [commit if a == "COMMIT" else a for a in arguments]
        text = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True).stdout
    path = ROOT / page
    lines = path.read_text().split("\n")
    printed, taken, stale = find_tables(text.split("\n"), True), set(), []
    pairs = []  # from the top, as tables with the same rows stand in the order they are printed in
    for table in find_tables(lines):
        p = best_match(table, printed, taken)
        if p is not None:
            taken.add(p)
            pairs.append((table, printed[p][3]))
    for (first, end, _, rows), new in reversed(pairs):
        stale += moved(rows, new, 1 / 30 if check else 1 / 20)
        lines[first + 2:end] = new
    for p, t in enumerate(printed):
        if p not in taken:
            print(f"{page}: {name}_experiment prints a table that the page lacks: {' | '.join(t[2])}")
    if not taken:
        print(f"{page}: no table of {name}_experiment found")
        return False
    if not check:
        path.write_text("\n".join(re.sub(r"\b(commit )[0-9a-f]{7}\b", rf"\g<1>{commit}", line) for line in lines))
    for s in stale[:40]:
        print(f"{page}: {s}")
    if len(stale) > 40:
        print(f"{page}: and {len(stale) - 40} more")
    return not (check and stale)


def main():
    words, values = sys.argv[1:], {}
    for option in ("--from", "--commit", "--programs"):
        if option in words:
            at = words.index(option)
            values[option] = words[at + 1]
            del words[at:at + 2]
    check, log = "--check" in words, values.get("--from")
    if "--programs" in values:
        PROGRAMS.append(pathlib.Path(values["--programs"]))
    asked = [w for w in words if w != "--check"] or list(PAGES)
    unknown = [w for w in asked if w not in PAGES]
    if unknown or (log and len(asked) != 1):
        sys.exit(f"{__doc__}\nKnown: {', '.join(PAGES)}")
    sys.exit(0 if all([renew(name, check, log, values.get("--commit")) for name in asked]) else 1)


main()
