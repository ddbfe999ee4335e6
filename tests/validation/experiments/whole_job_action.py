"""Hidden actions for whole_job.py: what one is in truth, and what a person at the bench reads on it.

An action begins as one of two invented pianos (a wide smooth heel met 3 mm off; one in four: a short, steep, grooved one), its
nominal lengths and weights moved as far as pianos differ. In truth every length and weight is its nominal value plus
one draw of the error a bench has; its frictions, and how the surfaces rub, are drawn anew: the knuckle from 0.06 to 0.3
(materials as shipped: 0.02 to 0.21), the heel from 0.12 to 0.45 (0.17 where it is steep and grooved), each centre and bushing; one in three lies on balance
punchings, one in three has the heel as a patch of cloth, one in three a heel rubbed smoother or rougher along its
length. It stands a little off its specification, as pianos do. What is read is the nominal value, rounded to what a
rule shows, and readings of the action as it stands with the errors and roundings of job sheets: weights 1.5 gf to the
gram-force, dip and aftertouch 0.1 mm, blow 0.5 mm, let-off 0.2 mm.

Beside the pianos' own set-ups (geometry and friction) every action has what is always at hand: a lead added, a lead taken
out, centres and knuckles eased.
"""
import re

WANTED = {"down_weight": 50.0, "up_weight": 25.0}  # gf, told to the program as targets
CASES = {"wide heel": "cases/missed_heel/case.toml", "steep heel": "cases/steep_heel/case.toml"}
LEFT_OUT = {"wide heel": ("capstan leaned", "friction only"), "steep heel": ("wider cap",)}
AT_HAND = """
[[set_up]]
name = "lead added"
[[set_up.change]]
kind = "lead"
mass = "8 g +- 0.2 g"
distance = "140 mm +- 0.5 mm"

[[set_up]]
name = "lead taken out"
[[set_up.change]]
kind = "lead"
mass = "14 g +- 0.5 g"
distance = "150 mm +- 0.5 mm"
action = "move"
to = "75 mm +- 0.5 mm"

[[set_up]]
name = "centres and knuckles"
[[set_up.change]]
kind = "friction"
pivot = "hammer_centre"
torque = "2.5 gf +- 0.5 gf at 23 mm"
[[set_up.change]]
kind = "friction"
place = "lever_knuckle"
coefficient = "0.1 (0.04 to 0.16)"
[[set_up.change]]
kind = "friction"
place = "jack_knuckle"
coefficient = "0.1 (0.04 to 0.16)"
"""
# Lines of the bench sheet (models/workshop/sheet_lines.cpp) and the keys of the case they are.
LENGTHS = {11: "spread", 12: "wippen_centre_height", 13: "hammer_centre_height", 14: "balance_hole_height",
           15: "capstan_top_height", 16: "string_height", 17: "balance_hole_to_wippen_centre", 21: "key_front_length",
           22: "key_rear_length", 36: "capstan_mass", 41: "heel_contact_arm", 51: "hanging_distance",
           52: "knuckle_diameter", 54: "hammer_length", 55: "bore", 61: "strike_weight", 62: "front_weight",
           63: "wippen_weight"}
CENTRES = {71: "hammer_centre", 72: "wippen_centre", 73: "jack_centre", 74: "lever_centre"}
FOUND = {81: ("down_weight", 1.5, 0), 82: ("up_weight", 1.5, 0), 83: ("dip", 0.1, 2), 84: ("blow", 0.5, 1),
         85: ("let_off", 0.2, 1), 87: ("aftertouch", 0.1, 1)}  # name, error, decimals
SPECIFICATION = {"dip": 10.0, "blow": 46.0, "let_off": 2.0}  # of both pianos, mm
USUAL = {"gf": 1.5, "dip": 0.1, "blow": 0.5, "let_off": 0.2, "aftertouch": 0.1}


def set_value(text, section, key, value):
    """`key = value` in [section], in place of what stands there or as a new line."""
    head = f"[{section}]\n"
    if head not in text:
        at = text.index("\n[[")
        return text[:at] + f"\n{head}{key} = {value}\n" + text[at:]
    start = text.index(head) + len(head)
    end = text.find("\n[", start)
    body = text[start:end]
    line = re.compile(rf"^{key} = .*$", re.M)
    body = line.sub(f"{key} = {value}", body) if line.search(body) else f"{key} = {value}\n" + body
    return text[:start] + body + text[end:]


def value_of(text, key):
    found = re.search(rf'^{key} = "([-\d.]+) (\w+) \+- ([\d.]+)', text, re.M)
    return float(found.group(1)), found.group(2), float(found.group(3))


def drop_set_ups(text, names):
    parts = re.split(r"(?=^\[\[set_up\]\]$)", text, flags=re.M)
    return "".join(p for p in parts if not any(f'name = "{name}"' in p for name in names))


def only_set_up(text, name):
    """The base and the set-up of this name (the base alone: its own name)."""
    parts = re.split(r"(?=^\[\[set_up\]\]$)", text, flags=re.M)
    return parts[0] + parts[1] + "".join(p for p in parts[2:] if f'name = "{name}"' in p)


def scattered(text, rng):
    """Every amount of a set-up as a hand brings it out: one draw of its own uncertainty."""
    at = text.index("[[set_up]]")

    def draw(match):
        value = float(match.group(1)) + rng.gauss(0, float(match.group(3)))
        return f'"{value:.4f} {match.group(2)} +- {match.group(3)}'

    def between(match):
        low, high = float(match.group(1)), float(match.group(2))
        return f'"{rng.uniform(low, high):.4f} ({low} to {high})"'
    body = re.sub(r'"(-?[\d.]+) (\w+) \+- ([\d.]+)', draw, text[at:])
    body = re.sub(r'"[\d.]+ \(([\d.]+) to ([\d.]+)\)"', between, body)
    return text[:at] + body


class HiddenAction:
    def __init__(self, rng, folder_of_cases="."):
        self.kind = "steep heel" if rng.random() < 0.25 else "wide heel"  # the steep one takes three times as long
        with open(f"{folder_of_cases}/{CASES[self.kind]}", encoding="utf-8") as file:
            text = file.read()
        text = drop_set_ups(text, LEFT_OUT[self.kind]) + AT_HAND
        for key, value in WANTED.items():
            text = set_value(text, "targets", key, f'"{value} gf"')
        text = text.replace("knuckle_leather_dry", "knuckle_leather")  # nobody measures a knuckle: the shipped range
        self.blank = text  # what the sheet is printed for
        self.nominal = self._draw_nominal(text, rng)
        self.truth = self._draw_truth(text, rng)

    def _draw_nominal(self, text, rng):
        out = {key: list(value_of(text, key)) for key in LENGTHS.values()}
        toward = rng.uniform(-1.5, 1.5)
        out["key_rear_length"][0] += toward
        out["heel_contact_arm"][0] -= toward
        for key, reach in (("key_front_length", 6), ("strike_weight", 0.8), ("hanging_distance", 0.4),
                           ("front_weight", 6), ("wippen_weight", 0.5)):
            out[key][0] += rng.uniform(-reach, reach)
        return out

    def _draw_truth(self, text, rng):
        for key, (value, unit, sigma) in self.nominal.items():
            text = set_value(text, "measured", key, f'"{value + rng.gauss(0, sigma):.4f} {unit} +- {sigma} {unit}"')
        self.centres = {"hammer_centre": rng.uniform(1.5, 6), "wippen_centre": rng.uniform(1, 4),
                        "jack_centre": rng.uniform(1, 2), "lever_centre": rng.uniform(3, 7)}
        for key, value in self.centres.items():
            text = set_value(text, "friction", key, f'"{value:.3f} gf +- 0.5 gf at 23 mm"')
        self.bushings = {"key_balance": rng.uniform(0.3, 2), "key_front": rng.uniform(0.3, 2)}
        for key, value in self.bushings.items():
            text = set_value(text, "friction", key, f'"{value:.3f} gf +- 0.5 gf"')
        # The steep heel's groove rubs 1.8 times as hard as the rest, and locks from about 0.3.
        self.knuckle, self.heel = rng.uniform(0.06, 0.3), rng.uniform(0.12, 0.17 if self.kind == "steep heel" else 0.45)
        for place in ("jack_knuckle", "lever_knuckle"):
            text = set_value(text, f"contact.{place}", "friction", f'"{self.knuckle:.4f}"')
        text = set_value(text, "contact.capstan_heel", "friction", f'"{self.heel:.4f}"')
        self.marks = []
        if rng.random() < 1 / 3:
            text = set_value(text, "options", "balance_punching", '"on"')
            self.marks.append("punching")
        if rng.random() < 1 / 3:
            text = text.replace("\n[note]", '\ncontact_grade = "patch"\n\n[note]', 1)
            self.marks.append("patch")
        if rng.random() < 1 / 3 and "friction_along" not in text:
            factor = rng.uniform(0.6, 1.8)
            text = set_value(text, "contact.capstan_heel.friction_along", "points",
                             f'[[0, 1.0], [9, 1.0], [10, {factor:.2f}], [13, {factor:.2f}], [14, 1.0]]\n'
                             'unit = "mm"\nuncertainty = "0.3 mm"\nsource = "invented"')
            self.marks.append(f"along x{factor:.1f}")
        reach = {"dip": (-0.15, 0.15), "blow": (-1, 1), "let_off": (-0.3, 0.4)}
        self.stands = {key: value + rng.uniform(*reach[key]) for key, value in SPECIFICATION.items()}
        return text

    def as_found(self):
        """The action where its screws stand when the lid is opened."""
        text = only_set_up(self.truth, "as found")
        for key, value in self.stands.items():
            text = set_value(text, "regulation", key, f'"{value:.3f} mm"')
        return text

    def readings(self, found, rng):
        """What is written on the sheet: line number -> cell. `found`: the numbers of the action as found."""
        out = {}
        for line, key in LENGTHS.items():
            value, unit, sigma = self.nominal[key]
            step = 0.5 if sigma >= 0.5 and unit == "mm" else 0.1
            # Rounding to half a millimetre adds 0.14 mm to 0.5 mm.
            out[line] = f"{round(value / step) * step:.1f} +- {max(sigma, 0.52 if step == 0.5 else sigma)}"
        for line in (71, 72):
            read = max(0.5, self.centres[CENTRES[line]] + rng.gauss(0, 0.5))
            out[line] = f"{read:.1f} +- 0.5"
        for line, (key, sigma, decimals) in FOUND.items():
            out[line] = f"{found[key] + rng.gauss(0, sigma):.{decimals}f} +- {sigma}"
        out[1], out[2] = "40", "natural"
        return out

    def __str__(self):
        marks = " ".join([self.kind] + self.marks)
        return f"{marks}, centre {self.centres['hammer_centre']:.1f}, knuckle {self.knuckle:.2f}, heel {self.heel:.2f}"
