"""Reads a report and prints what is wrong with it as a page; prints nothing when all is well.

Checked: lang, viewport and title; one h1 and no heading level left out; every image with alt text; nothing fetched
from elsewhere; table heads with scopes; scrolling regions named and within the keyboard's reach; colours of words on
their grounds at 4.5:1 or more (WCAG 2.1, contrast minimum); all tags closed in order.
"""
import re
import sys
from html.parser import HTMLParser

VOID = {"meta", "img", "br", "col"}


class Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.problems, self.open, self.levels, self.has, self.images = [], [], [], set(), 0

    def handle_starttag(self, tag, attributes):
        a = dict(attributes)
        if tag not in VOID:
            self.open.append(tag)
        if tag == "html" and a.get("lang"):
            self.has.add("lang")
        if tag == "meta" and a.get("name") == "viewport":
            self.has.add("viewport")
        if tag in ("title", "main"):
            self.has.add(tag)
        if re.fullmatch("h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag == "img":
            self.images += 1
            if len(a.get("alt") or "") < 10:
                self.problems.append("an image without alt text")
        if tag == "video" and (not a.get("aria-label") or "controls" not in a):
            self.problems.append("a film without controls or name")
        if tag == "th" and not a.get("scope"):
            self.problems.append("a table head without scope")
        if a.get("role") == "region" and (a.get("tabindex") != "0" or not a.get("aria-label")):
            self.problems.append("a region without name or out of the keyboard's reach")
        for name in ("src", "href"):
            if a.get(name) and not a[name].startswith(("data:", "#")):
                self.problems.append("fetched from elsewhere: " + a[name][:60])

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.problems.append("tags closed out of order at </%s>" % tag)


def luminance(colour):
    parts = [int(colour[k:k + 2], 16) / 255 for k in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a, b):
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


text = open(sys.argv[1], encoding="utf-8").read()
page = Page()
page.feed(text)
page.problems += ["no " + wanted for wanted in ("lang", "viewport", "title", "main") if wanted not in page.has]
if page.levels.count(1) != 1 or page.levels[0] != 1:
    page.problems.append("not one h1 at the top")
for before, after in zip(page.levels, page.levels[1:]):
    if after > before + 1:
        page.problems.append("h%d after h%d" % (after, before))
if page.open:
    page.problems.append("never closed: " + " ".join(page.open))
if page.images == 0:
    page.problems.append("no picture")
style = text[text.index("<style>"):text.index("</style>")]
for rule in re.findall(r"\{([^{}]*)\}", style):
    ink = re.search(r"(?<![-\w])color: (#[0-9a-f]{6})", rule)
    ground = re.search(r"background: (#[0-9a-f]{6})", rule)
    if ink or ground:
        ratio = contrast(ink.group(1) if ink else "#22222c", ground.group(1) if ground else "#ffffff")
        if ratio < 4.5:
            page.problems.append("contrast %.1f in {%s}" % (ratio, rule.strip()))
if "{{" in text[text.index("</style>"):]:
    page.problems.append("an unfilled place of the template")
print("\n".join(page.problems), end="")
