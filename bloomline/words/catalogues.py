"""Bring the catalogues under resources/locale up to the words in the code and the tables.

Run in a checkout: python -m bloomline.words.catalogues [--check] [--new LANGUAGE]
It writes bloomline.pot with all messages, takes them over into every LANGUAGE's bloomline.po (what
is translated stays), and compiles that to bloomline.mo. English stands in the code and has neither.
"""

from __future__ import annotations

import argparse
import ast
import csv
import io
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from bloomline.words.language import DOMAIN

FUNCTIONS: Mapping[str, int] = {
    "tr": 1,
    "marked": 1,
    "plural": 2,
    "context": 2,
    "UnknownNameError": 1,
}
"""Functions whose first arguments are messages, and how many (the error says what there is not)."""
TABLES: Mapping[str, tuple[str, ...]] = {
    "catalogue/companions.csv": ("colour", "toxic_note"),
    "catalogue/cultivars.csv": ("colour", "toxic_note"),
    "rules/bags.csv": ("label",),
    "rules/cautions.csv": ("message",),
    "rules/compost_recipes.csv": ("label",),
    "rules/composts.csv": ("label",),
    "rules/figures.csv": ("rule",),
    "rules/planting_windows.csv": ("note",),
    "rules/pot_materials.csv": ("label",),
    "rules/sites.csv": ("label",),
    "rules/tasks.csv": ("title", "reason"),
    "rules/toxicity.csv": ("what",),
}
"""Columns of the tables under shared/ that people read."""


def messages(checkout: Path) -> Catalog:
    """Every message of the program, with where it stands; no translations."""
    found = Catalog(domain=DOMAIN, project=DOMAIN, charset="utf-8", fuzzy=False)
    for path in sorted((checkout / "bloomline").rglob("*.py")):
        name = path.relative_to(checkout).as_posix()
        for line, function, texts in calls(path.read_text("utf-8")):
            if all(texts):
                where, message = texts if function == "context" else (None, texts)
                one = message[0] if len(message) == 1 and where is None else message
                found.add(one, locations=[(name, line)], context=where)
    for name, line, text in _table_messages(checkout / "shared"):
        found.add(text, locations=[(f"shared/{name}", line)])
    return found


def calls(source: str) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    """(line, function, messages) of every call in a module that names messages as literals.

    Read from the syntax tree: Babel's own reader passes over what stands in an f-string.
    """
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        function = node.func.id if isinstance(node.func, ast.Name) else ""
        texts = [
            each.value
            for each in node.args[: FUNCTIONS.get(function, 0)]
            if isinstance(each, ast.Constant) and isinstance(each.value, str)
        ]
        if texts and len(texts) == FUNCTIONS[function]:
            yield node.lineno, function, tuple(texts)


def _table_messages(folder: Path) -> Iterator[tuple[str, int, str]]:
    for name, columns in TABLES.items():
        with (folder / name).open(encoding="utf-8", newline="") as file:
            for number, row in enumerate(csv.DictReader(file), start=2):
                for column in columns:
                    if row[column]:
                        yield name, number, row[column]


def written(catalogue: Catalog, *, compiled: bool = False) -> bytes:
    """A catalogue as the bytes of its .po or .mo file, the same for the same messages."""
    out = io.BytesIO()
    if compiled:
        write_mo(out, catalogue)
    else:
        write_po(out, catalogue, sort_output=True, include_lineno=False, width=98)
    lines = out.getvalue()
    if compiled:
        return lines
    # The day of writing would make every run a change.
    return b"".join(
        line for line in lines.splitlines(keepends=True) if b'"POT-Creation-Date:' not in line
    )


def update(checkout: Path, folder: Path) -> dict[Path, bytes]:
    """What the files of a folder of catalogues should hold: template, and each language's two."""
    template = messages(checkout)
    files = {folder / f"{DOMAIN}.pot": written(template)}
    for po in sorted(folder.glob(f"*/LC_MESSAGES/{DOMAIN}.po")):
        with po.open("rb") as file:
            own = read_po(file, locale=po.parent.parent.name, domain=DOMAIN)
        own.update(template, no_fuzzy_matching=True)
        files[po] = written(own)
        files[po.with_suffix(".mo")] = written(own, compiled=True)
    return files


def begin(language: str, folder: Path) -> Path:
    """Make an empty catalogue for a language; update fills it with the messages."""
    po = folder / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    po.parent.mkdir(parents=True, exist_ok=True)
    po.write_bytes(written(Catalog(locale=language, domain=DOMAIN, fuzzy=False)))
    return po


def main(argv: list[str] | None = None) -> int:
    """Return 0 when all is up to date."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--check", action="store_true", help="change nothing, tell what is stale")
    parser.add_argument("--new", metavar="LANGUAGE", help="begin a catalogue for a language")
    args = parser.parse_args(argv)
    checkout = Path(__file__).resolve().parents[2]
    folder = checkout / "resources" / "locale"
    if args.new:
        begin(args.new, folder)
    stale = [
        path
        for path, content in update(checkout, folder).items()
        if not path.is_file() or path.read_bytes() != content
    ]
    if args.check:
        for path in stale:
            print(f"not up to date: {path.relative_to(checkout)}", file=sys.stderr)
        return 1 if stale else 0
    for path, content in update(checkout, folder).items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return 0


if __name__ == "__main__":
    sys.exit(main())
