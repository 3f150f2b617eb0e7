#!/usr/bin/env python3
"""Every relative link of the documents leads somewhere, and every path of the project named in backticks is there."""
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
NAMED = re.compile(r"`\.?/?((?:src|tests|tools|docs|bench|fuzz|cmake)/[A-Za-z0-9_./-]*|\.ci/run|CMakePresets\.json)[ `]")


def main():
    bad = looked = 0
    documents = [p for p in ROOT.rglob("*.md") if not {"build", ".run", "node_modules", "corpus"} & set(p.relative_to(ROOT).parts[:-1])]
    for document in sorted(documents):
        text = document.read_text()
        # What stands in a code block is an example.
        text = re.sub(r"^```.*?^```", "", text, flags=re.M | re.S)
        for link in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text):
            if re.match(r"[a-z]+:", link):
                continue
            looked += 1
            if not (document.parent / link).exists():
                bad += 1
                print(f"{document.relative_to(ROOT)}: link to {link} leads nowhere")
        for named in NAMED.findall(text):
            looked += 1
            if not (ROOT / named.rstrip("/.")).exists():
                bad += 1
                print(f"{document.relative_to(ROOT)}: names {named}, which is not there")
    print(f"{looked} links and paths in {len(documents)} documents, {bad} lead nowhere")
    return 1 if bad or not looked else 0


if __name__ == "__main__":
    sys.exit(main())
