#!/usr/bin/env python3
"""The handbook as one short book, HTML and PDF, from the pages of this folder and the program itself.

    ninja -C build book
    python3 models/handbook/book/make_book.py PROGRAM OUT_FOLDER [--study STUDY.h5] [--no-pdf]

Needs pandoc (with its citeproc) and weasyprint. Pictures are drawn by the program: from STUDY.h5, or else from the
demo compared afresh (a minute). Chapters stand in chapters.txt; the command reference is the program's own manual
page, the derivations are the comments that stand above the code. A link to a page of the project becomes a link to its
chapter, or to nothing where the book has none; a picture that is not there is an error.
"""
import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = os.path.abspath(os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../.."))
HERE = os.path.join(ROOT, "models/handbook/book")


def run(words, **more):
    done = subprocess.run(words, capture_output=True, text=True, **more)
    if done.returncode != 0:
        sys.exit(f"{' '.join(words)}\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    return done.stdout


def slug(path):
    return "page-" + re.sub(r"[^a-z0-9]+", "-", os.path.splitext(path)[0].lower()).strip("-")


def read(path):
    with open(os.path.join(ROOT, path), encoding="utf-8") as file:
        return file.read()


def header_comment(path):
    """The comment a header begins with, as it stands there."""
    out = []
    for line in read(path).splitlines():
        if not line.startswith("//"):
            break
        out.append(line[3:])
    return "\n".join(out)


def limits():
    text = read("README.md")
    found = re.search(r"^## Limits\n(.*?)^## ", text, re.M | re.S)
    return "# Limits\n" + found.group(1)


def without_marks(text):
    """Blocks of numbers the program renews: what they show, not how it is asked for."""
    return re.sub(r"<!-- numbers.*?-->\n?", "", text, flags=re.S)


def chapters(program):
    """Chapter by chapter: the path it comes from and its text."""
    for line in read("models/handbook/book/chapters.txt").splitlines():
        line = line.split("#")[0].strip()
        if not line:
            continue
        kind, _, rest = line.partition(" ")
        if kind == "part":
            yield None, f"# {rest} {{.part}}\n"
        elif kind == "page":
            yield rest, without_marks(read(rest))
        elif kind == "limits":
            yield "README.md", limits()
        elif kind == "derivation":
            path, _, title = rest.partition(" ")
            yield path, f"# {title}\n\nFrom `{path}`.\n\n```\n{header_comment(path)}\n```\n"
        elif kind == "commands":
            manual = run([program, "--manual-page"])
            text = run(["pandoc", "-f", "man", "-t", "markdown", "--wrap=none"], input=manual)
            text = re.sub(r"^(#+) ", lambda m: "#" + m.group(1) + " ", text, flags=re.M)
            yield "commands", "# Commands\n\n" + text
        else:
            sys.exit(f"chapters.txt: \"{line}\" is not understood")


def join(program, known):
    out = []
    for path, text in chapters(program):
        if path:
            # The first heading carries the chapter's name for links; others are one level below.
            head, _, rest = text.partition("\n")
            fenced, lines = False, []
            for line in rest.splitlines():
                fenced = fenced != line.startswith("```")
                lines.append("#" + line if not fenced and re.match(r"#+ ", line) else line)
            text = f"#{head} {{#{slug(path)}}}\n" + "\n".join(lines)
            text = relink(text, path, known)
        out.append(text)
    return "\n\n".join(out) + "\n\n# References {#references .part}\n\n::: {#refs}\n:::\n"


def relink(text, path, known):
    """Links between pages as links between chapters."""
    def one(match):
        words, target = match.group(1), match.group(2)
        if re.match(r"[a-z]+:|#", target):
            return match.group(0)
        there = os.path.normpath(os.path.join(os.path.dirname(path), target.split("#")[0]))
        if there in known:
            return f"[{words}](#{slug(there)})"
        if os.path.exists(os.path.join(ROOT, there)):
            return f"{words} (`{there}`)"
        sys.exit(f"{path}: the link {target} leads nowhere")
    return re.sub(r"(?<!!)\[([^\]\n]+)\]\(([^)\s]+)\)", one, text)


def take_pictures(text, folder, source_of):
    """Pictures named in the text, copied beside the book."""
    for name in re.findall(r"!\[[^\]]*\]\(([^)\s]+)\)", text):
        base = os.path.basename(name)
        found = [p for p in source_of if os.path.exists(os.path.join(p, base))]
        if not found:
            sys.exit(f"the picture {name} is not there")
        shutil.copy(os.path.join(found[0], base), os.path.join(folder, base))
        text = text.replace(f"({name})", f"({base})")
    return text


def check_links(html):
    """Every link inside the book has its end."""
    with open(html, encoding="utf-8") as file:
        text = file.read()
    ids = set(re.findall(r'\bid="([^"]+)"', text))
    dead = sorted({link for link in re.findall(r'href="#([^"]+)"', text) if link not in ids})
    if dead:
        sys.exit("dead links: " + ", ".join(dead))


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("program")
    parser.add_argument("out")
    parser.add_argument("--study", help="a stored study of the demo to draw from")
    parser.add_argument("--no-pdf", action="store_true", help="the HTML alone")
    args = parser.parse_args()
    program, out = os.path.abspath(args.program), os.path.abspath(args.out)
    os.makedirs(out, exist_ok=True)
    with tempfile.TemporaryDirectory() as work:
        study = os.path.abspath(args.study) if args.study else None
        if study is None:
            run([program, "compare", "cases/missed_heel/case.toml", "--no-pictures", "--quiet", "--out", work], cwd=ROOT)
            study = os.path.join(work, "missed_heel.h5")
        drawn = os.path.join(work, "drawn")
        run([program, "draw", study, "--out", drawn], cwd=ROOT)
        known = {path for path, _ in chapters(program) if path}
        text = join(program, known)
        text = take_pictures(text, out, [drawn, os.path.join(ROOT, "cases/missed_heel")])
        version = run([program, "--version"]).strip()
        whole = os.path.join(work, "book.md")
        with open(whole, "w", encoding="utf-8") as file:
            file.write(text)
        cited = os.path.join(work, "cited.yaml")
        with open(cited, "w", encoding="utf-8") as file:
            file.write("nocite: '@*'\n")  # those in the derivations stand in text that is kept as it is
        html = os.path.join(out, "handbook.html")
        run(["pandoc", whole, "-f", "markdown-tex_math_dollars-tex_math_single_backslash-raw_tex-yaml_metadata_block",
             "-t", "html5", "--wrap=none", "--standalone", "--self-contained", "--toc", "--toc-depth=2", "--citeproc",
             f"--bibliography={ROOT}/models/bibliography.bib", "--css", os.path.join(HERE, "book.css"),
             f"--metadata-file={cited}", "--metadata=title:The handbook of Leverwright", f"--metadata=subtitle:{version}", "--metadata=lang:en",
             f"--resource-path={out}", "-o", html])
        check_links(html)
        if not args.no_pdf:
            run(["weasyprint", "-q", html, os.path.join(out, "handbook.pdf")])
    for name in os.listdir(out):  # they are inside the HTML
        if name.endswith(".png"):
            os.remove(os.path.join(out, name))


if __name__ == "__main__":
    main()
