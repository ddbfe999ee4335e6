"""The program's verbs as a person at the bench runs them, with real files, for whole_job.py."""
import csv
import glob
import io
import json
import os
import re
import shutil
import subprocess

# Values of part and material files whose doubt matters for weights and aftertouch. All others of those files are
# taken as exact, here and in the hidden action alike: a job then costs a third of the time.
DOUBTED = {"jack_centre_x", "jack_length", "lever_top_tilt", "lever_spring_torque", "jack_spring_torque", "friction"}
DOUBTED_OF_THE_HEEL = {"shear_share", "test_force", "nap_shear"}
BY_DEFAULT = {"shear_share": "0.7", "nap_shear": "0.005 mm", "hysteresis": "0.3", "damping": "0.2 s/m", "loss_time": "0.08 ms"}


def write_lean_models(source, folder):
    """A copy of the part and material files that is certain of what hardly matters."""
    for kind in ("parts", "materials"):
        shutil.copytree(os.path.join(source, kind), os.path.join(folder, kind))
    value = re.compile(r'^(\w+) = \{ value = "(-?[\d.e]+) ?([^"(+]*?) ?(?:\+- [^"]*|\([^"]*\))", source = .*$')
    for path in glob.glob(os.path.join(folder, "parts", "*.toml")) + glob.glob(os.path.join(folder, "materials", "*.toml")):
        heel = "heel_cloth" in path
        given, out = set(), []
        with open(path, encoding="utf-8") as file:
            for line in file:
                found = value.match(line.rstrip())
                name = line.split(" =")[0]
                given.add(name)
                if found and name not in DOUBTED and not (heel and name in DOUBTED_OF_THE_HEEL):
                    unit = found.group(3)
                    exact = f"{found.group(2)} {unit} +- 0 {unit}" if unit else f"{found.group(2)} +- 0"
                    line = f'{name} = {{ value = "{exact}", source = "invented" }}\n'
                out.append(line.rstrip("\n") + "\n")
        if "materials" in path and "hammer_felt" not in path:
            for name, text in BY_DEFAULT.items():
                if name not in given and not (heel and name in DOUBTED_OF_THE_HEEL):
                    unit = text.partition(" ")[2]
                    out.append(f'{name} = {{ value = "{text} +- 0{" " + unit if unit else ""}", source = "invented" }}\n')
        with open(path, "w", encoding="utf-8") as file:
            file.writelines(out)


class Failed(RuntimeError):
    """A verb ended otherwise than well: its name and what it said."""


class Bench:
    def __init__(self, program, folder):
        self.program, self.folder, self.count = program, folder, 0
        self.models = os.path.join(folder, "models")
        if not os.path.exists(self.models):
            write_lean_models("models", self.models)

    def path(self, name):
        return os.path.join(self.folder, name)

    def write(self, name, text):
        with open(self.path(name), "w", encoding="utf-8") as file:
            file.write(text)
        return self.path(name)

    def run(self, verb, *words, answer=True):
        """Standard output, or what the verb wrote as JSON."""
        self.count += 1
        out = self.path(f"{self.count:02d}_{verb}")
        command = [self.program, verb, *words]
        if answer:
            command += ["--json", out + ".json"]
        done = subprocess.run(command, capture_output=True, text=True, check=False,
                              env={**os.environ, "LEVERWRIGHT_MODELS": self.models})
        with open(out + ".txt", "w", encoding="utf-8") as file:
            file.write(done.stdout + done.stderr)
        if done.returncode != 0:
            said = done.stderr.strip().splitlines()
            raise Failed(f"{verb}: {said[0] if said else f'exit {done.returncode}'}")
        if not answer:
            return done.stdout
        with open(out + ".json", encoding="utf-8") as file:
            return json.load(file)

    def compare(self, case, *words):
        return self.run("compare", case, "--no-touches", "--no-pictures", "--quiet", "--out",
                        self.path(f"compared_{self.count + 1}"), *words)

    def try_out(self, text, name):
        """What a hidden action does: the numbers of each of its set-ups that can be regulated and weighed."""
        answer = self.compare(self.write(name + ".toml", text), "--no-uncertainty")
        out = {}
        for s in answer["set_ups"]:
            numbers = {n["key"]: n["value"] for n in s["numbers"] if n["value"] is not None}
            if s["weighed"] and "down_weight" in numbers:
                out[s["name"]] = numbers
        return out

    def read_sheet(self, case, cells, name):
        """The printed sheet's file with these cells filled in, read back: paths of the case and of the notes."""
        out = self.path(name)
        if not os.path.exists(self.path("sheet/sheet.csv")):
            self.run("sheet", case, "--blank", "--no-uncertainty", "--notes", "C4", "--out", self.path("sheet"), answer=False)
        with open(self.path("sheet/sheet.csv"), encoding="utf-8") as file:
            lines = file.read().splitlines()
        filled = []
        for line in lines:
            number = line.split(",", 1)[0]
            if number.isdigit() and int(number) in cells:
                line = line[:line.rstrip().rfind(",")] + ", " + cells[int(number)]
            filled.append(line)
        sheet = self.write(name + "_filled.csv", "\n".join(filled) + "\n")
        self.run("sheet", case, "--read", sheet, "--out", out, answer=False)
        return os.path.join(out, "case_C4.toml"), os.path.join(out, "notes.csv")

    def order(self, case, set_up, notes):
        """The order as JSON, and the file it leaves for the readings after the work."""
        out = self.path("order")
        answer = self.run("order", case, set_up, "--notes", notes, "--out", out, "--quiet")
        after = [name for name in os.listdir(out) if name.endswith("_after.csv")]
        return answer, os.path.join(out, after[0])

    def fill_after(self, path, readings, name):
        """The order's file with these readings typed into the line after the work."""
        with open(path, encoding="utf-8") as file:
            lines = file.read().splitlines()
        head = next(k for k, line in enumerate(lines) if not line.startswith("#"))
        columns = [c.strip() for c in next(csv.reader([lines[head]], skipinitialspace=True))]
        rows = [next(csv.reader([line], skipinitialspace=True)) for line in lines[head + 1:]]
        for row in rows:
            row += [""] * (len(columns) - len(row))
        for k, column in enumerate(columns):
            key = column.split(" [")[0]
            if key in readings:
                rows[-1][k] = readings[key]
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows([columns] + rows)
        return self.write(name + ".csv", text.getvalue())
