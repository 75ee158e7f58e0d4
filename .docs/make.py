"""Make the site: pages from what the project has already, then Sphinx, then a look at every link.

`python .docs/make.py [FOLDER]` writes to `out/site` or FOLDER. It ends with an error on any
warning, on a public name that no page of the reference has, on a link that leads nowhere, and on a
page that asks for anything from outside.
"""

import os
import posixpath
import re
import shutil
import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from gallery import BEFORE, CHARTS
from reference import PAGES

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
GUIDES = {
    "fabricator": "For the fabricator",
    "shop": "For the shop",
    "instructor": "For the instructor",
    "tables": "Arrays and data frames",
}
# In the order in which data runs through the house.
ROOMS = {
    "material": "Materials",
    "shape": "Flat blanks",
    "outline": "Outlines and drawings",
    "heat": "Heat",
    "stock": "Layouts",
    "bond": "Adhesives",
    "finish": "Finishes",
    "mount": "Checks of the finished mount",
    "promise": "The calendar",
    "cost": "Cost and price",
    "spread": "Uncertainty",
}


def write_pages(at: Path) -> None:
    """Write all pages as Markdown."""
    shutil.rmtree(at, ignore_errors=True)
    for folder in ("guide", "theory", "reference", "gallery"):
        (at / folder).mkdir(parents=True)
    shutil.copy(HERE / "conf.py", at)
    shutil.copytree(HERE / "static", at / "static")
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for path in sorted(set(re.findall(r"!\[[^\]]*\]\((\.docs/[^)]+)\)", readme))):
        shutil.copy(ROOT / path, at)
    contents = [
        _tree("For whom", [f"guide/{name}" for name in GUIDES]),
        _tree("Charts", ["gallery/index"]),
        _tree("Theory", [*(f"theory/{room}" for room in ROOMS), "theory/agreement"]),
        _tree("Reference", [*map(_page, PAGES), "reference/charts", "reference/workbook"]),
    ]
    _write(at / "index.md", "\n".join([readme.replace("](.docs/", "]("), *contents]))
    guides = ROOT / "python/mountwright/guide"
    if unknown := {path.stem for path in guides.glob("*.md")} ^ GUIDES.keys():
        sys.exit(f".docs/make.py: guides that are not named, or not there: {sorted(unknown)}")
    for name in GUIDES:
        _write(at / f"guide/{name}.md", (guides / f"{name}.md").read_text(encoding="utf-8"))
    for room, title in ROOMS.items():
        text = (ROOT / f"src/{room}/theory.md").read_text(encoding="utf-8")
        _write(at / f"theory/{room}.md", theory(text, title))
    agreement = (ROOT / "src/material/agreement.md").read_text(encoding="utf-8")
    _write(at / "theory/agreement.md", theory(agreement, "Agreement"))
    write_reference(at)
    write_gallery(at / "gallery")


def theory(text: str, title: str) -> str:
    """Make a page of a room's theory: a title on top, links into the crate as plain words.

    Examples in Rust are for readers of the crate, and stay there.
    """
    text = re.sub(r"(?ms)^```.*?^```\n", "", text)
    text = re.sub(r"\[([^\]]+)\]\([\w:]*::[^)]*\)", r"\1", text)
    text = re.sub(r"\[(`[^`\]]+`)\](?!\()", r"\1", text)
    if not text.startswith("# ") or len(re.findall(r"(?m)^# ", text)) > 1:
        text = f"# {title}\n\n" + re.sub(r"(?m)^#", "##", text)
    return text


def write_reference(at: Path) -> None:
    """Write a page for each part of the Python package."""
    import inspect

    import mountwright as mw
    from mountwright import charts, workbook

    told = [name for names in PAGES.values() for name in names.split()]
    if wrong := set(mw.__all__) ^ set(told) | {n for n in told if told.count(n) > 1}:
        sys.exit(f".docs/reference.py: every public name once, please: {sorted(wrong)}")
    for page, names in PAGES.items():
        lines = [f"# {page}", "", "```{eval-rst}"]
        for name in names.split():
            if inspect.isclass(getattr(mw, name)):
                lines += [f".. autoclass:: mountwright.{name}", "   :members:", ""]
            else:
                lines += [f".. autofunction:: mountwright.{name}", ""]
        _write(at / f"{_page(page)}.md", "\n".join([*lines, "```", ""]))
    lines = ["# Charts", "", "```{eval-rst}", ".. automodule:: mountwright.charts", ""]
    for name in charts.__all__:
        if name == "Chart":
            # What matplotlib gives it is told there.
            lines += [".. autoclass:: mountwright.charts.Chart()", "   :members: png", ""]
        else:
            lines += [f".. autofunction:: mountwright.charts.{name}", ""]
    _write(at / "reference/charts.md", "\n".join([*lines, "```", ""]))
    lines = ["# Workbooks", "", "```{eval-rst}", ".. automodule:: mountwright.workbook", ""]
    for name in workbook.__all__:
        kind = "autoclass" if inspect.isclass(getattr(workbook, name)) else "autofunction"
        lines += [f".. {kind}:: mountwright.workbook.{name}", ""]
    _write(at / "reference/workbook.md", "\n".join([*lines, "```", ""]))


def write_gallery(at: Path) -> None:
    """Draw the charts, and set each beside the lines that make it."""
    page = [
        "# Gallery",
        "",
        "Every chart is made from the demo data by the lines above it, after these:",
        "",
        f"```python\n{BEFORE}```",
        "",
    ]
    names: dict[str, Any] = {}
    here = Path.cwd()
    os.chdir(ROOT)
    try:
        exec(BEFORE, names)
        for title, code in CHARTS.items():
            exec(code, names)
            chart = names["chart"]
            file = re.sub(r"\W+", "-", title.lower()) + ".png"
            (at / file).write_bytes(chart.png(dpi=110))
            alt = re.sub(r"[\[\]\n]", " ", chart.alt)
            page += [f"## {title}", "", f"```python\n{code}```", "", f"![{alt}]({file})", ""]
    finally:
        os.chdir(here)
    _write(at / "index.md", "\n".join(page))


def faults(site: Path) -> list[str]:
    """List links that lead nowhere and what is asked for from outside."""
    pages = {page.relative_to(site).as_posix(): Links(page) for page in site.rglob("*.html")}
    found = []
    for page, links in pages.items():
        for kind, target in links.found:
            parts = urlsplit(target)
            if parts.scheme in ("data", "mailto"):
                continue
            if parts.scheme or parts.netloc:
                if kind == "loads":
                    found.append(f"{page} loads {target}")
                continue
            path = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(parts.path)))
            path = path if parts.path else page
            place = unquote(parts.fragment)
            if not (site / path).is_file():
                found.append(f"{page}: {target} is not there")
            elif place and path in pages and place not in pages[path].places:
                found.append(f"{page}: {target} names no place")
    for sheet in site.rglob("*.css"):
        for target in re.findall(r"url\(['\"]?(https?:[^)'\"]+)", sheet.read_text("utf-8")):
            found.append(f"{sheet.name} loads {target}")
    return sorted(set(found))


class Links(HTMLParser):
    """What a page links to, what it loads, and the places that it has."""

    def __init__(self, page: Path) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self.places: set[str] = {""}
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take what one tag says."""
        given = {name: value or "" for name, value in attrs}
        self.places |= {given[key] for key in ("id", "name") if key in given}
        if tag == "a" and "href" in given:
            self.found.append(("links", given["href"]))
        elif tag == "link" and "href" in given:
            self.found.append(("loads", given["href"]))
        elif "src" in given:
            self.found.append(("loads", given["src"]))


def _tree(caption: str, pages: list[str]) -> str:
    listed = "\n".join(pages)
    return f"\n```{{toctree}}\n:caption: {caption}\n:hidden:\n\n{listed}\n```\n"


def _page(title: str) -> str:
    return f"reference/{title.lower().replace(' ', '-')}"


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def main() -> int:
    """Make the site."""
    from sphinx.cmd.build import build_main

    site = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "out/site"
    source = site.parent / "site-pages"
    write_pages(source)
    options = ["-q", "-W", "--keep-going", "-E", "-j", "auto", "-b", "html"]
    if status := build_main([*options, str(source), str(site)]):
        return status
    wrong = faults(site)
    print("\n".join(wrong) if wrong else f"{len(list(site.rglob('*.html')))} pages in {site}")
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
