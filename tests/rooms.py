"""The rooms of the program with arrows from its imports: ``python -m tests.rooms``.

The drawing is a Mermaid flow chart, made from the source by reading it (nothing is imported).
``--write`` puts it into DEVELOPERS.md, where a test holds it; a folder draws another tree, such as an
older commit's.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[1]
GUIDE = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- rooms: made by python -m tests.rooms --write -->\n", "<!-- end of rooms -->\n"

EVERYWHERE = "edges"
"""Node that stands for the modules beside the rooms, which many rooms use."""


def room(file: Path, package: Path) -> str:
    """Room of a file: its folder in the package, or the one node for what stands beside the rooms."""
    parts = file.relative_to(package).parts
    return parts[0] if len(parts) > 1 else EVERYWHERE


def uses(file: Path, name: str) -> Iterator[list[str]]:
    """Module names, split at their points, that a file imports from the package of that name."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == name:
            yield from ([*(node.module or "").split("."), alias.name] for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from (alias.name.split(".") for alias in node.names if alias.name.startswith(name + "."))


def arrows(package: Path) -> set[tuple[str, str]]:
    """Pairs of rooms, the first of which imports from the second."""
    rooms = {path.name for path in package.iterdir() if path.is_dir()}
    found = set()
    for file in sorted(package.rglob("*.py")):
        if file.parent == package and file.name in ("__init__.py", "__main__.py"):
            continue  # the front door may know every room
        for parts in uses(file, package.name):
            found.add((room(file, package), parts[1] if parts[1] in rooms else EVERYWHERE))
    return {(user, used) for user, used in found if user != used}


def order(links: set[tuple[str, str]]) -> list[str]:
    """Rooms so that each stands after all it uses; those in a circle come last."""
    left = {name for link in links for name in link}
    done: list[str] = []
    while left:
        free = sorted(n for n in left if not any(user == n and used in left for user, used in links))
        done += free or sorted(left)
        left -= set(done)
    return done


def drawing(package: Path) -> str:
    """The flow chart as Mermaid text; an arrow points from what is used to its user, as data flows."""
    links = arrows(package)
    names = order(links)
    lines = ["flowchart LR"]
    for name in names:
        users = [user for user in names if (user, name) in links]
        if users and name != EVERYWHERE:
            lines.append(f"    {name} --> {' & '.join(users)}")
    beside = [user for user in names if (user, EVERYWHERE) in links]
    shared = sorted(p.stem for p in package.glob("*.py") if not p.name.startswith("__"))
    if beside and shared:
        lines.append(f'    {EVERYWHERE}["{", ".join(shared)}"] -.-> {" & ".join(beside)}')
    return "\n".join(lines) + "\n"


def embedded(text: str, chart: str) -> str:
    """The guide's text with this chart between its marks."""
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}```mermaid\n{chart}```\n{END}{after}"


def main(words: list[str]) -> None:
    """Print the drawing of this tree or of the folder named; with --write put it into the guide."""
    folders = [word for word in words if word != "--write"]
    chart = drawing(Path(folders[0]) if folders else ROOT / "dryermodel")
    if "--write" in words:
        GUIDE.write_text(embedded(GUIDE.read_text(encoding="utf-8"), chart), encoding="utf-8", newline="\n")
    sys.stdout.write(chart)


if __name__ == "__main__":
    main(sys.argv[1:])
