"""Look at packets: does each hold what a fabricator needs? Used by `.ci/run`."""

import json
import re
import sys
from pathlib import Path
from xml.etree import ElementTree

SECTIONS = (
    "Sheets: what to buy",
    "Order of work",
    "Price",
    "Checks of the finished mount",
    "Sources",
)


def look(folder: Path) -> list[str]:
    """List what is missing from one packet."""
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    page = (folder / "packet.html").read_text(encoding="utf-8")
    wrong = [f"section {words!r} is missing" for words in SECTIONS if words not in page]
    for part in plan["parts"]:
        if f"</span> {part['name']}</h2>" not in page:
            wrong.append(f"no bench card for {part['name']}")
        if part["recipe"] and part["recipe"]["has_window"] and not part["recipe"]["strokes"]:
            wrong.append(f"no strokes for {part['name']}")
        if not part["checks"]:
            wrong.append(f"no checks for {part['name']}")
    wrong += [f"{r['place']} is not named" for r in plan["refused"] if r["place"] not in page]
    wrong += [f"caution is missing: {c}" for c in plan["cautions"] if c[:20] not in page]
    if plan["price"]["gross"] not in page:
        wrong.append("no price")
    quote = (folder / "quote.html").read_text(encoding="utf-8")
    if plan["quote"]["gross"] not in quote:
        wrong.append("no price in the quote")
    if "margin" in re.sub(r"(?s)<style>.*</style>", "", quote).lower():
        wrong.append("the quote shows the margin")
    if re.search(r'(src|href)="(?!data:|#)', page + quote):
        wrong.append("a page asks for something from outside")
    listed = [
        line.partition("\t")[0] for line in (folder / "contents.txt").read_text().splitlines()
    ]
    found = sorted(str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file())
    if sorted([*listed, "contents.txt"]) != found:
        wrong.append(f"contents.txt does not list what is there: {found}")
    drawings = [p for p in folder.rglob("*.svg") if ElementTree.parse(p).getroot() is not None]
    if len(drawings) < len(plan["parts"]) + len(plan["layouts"]):
        wrong.append(f"only {len(drawings)} drawings")
    if "approved" in page.lower():
        wrong.append("a plan calls nothing approved")
    return wrong


def main() -> int:
    """Look at each folder named."""
    faults = [f"{folder}: {fault}" for folder in sys.argv[1:] for fault in look(Path(folder))]
    print("\n".join(faults) if faults else f"{len(sys.argv) - 1} packets are whole")
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main())
