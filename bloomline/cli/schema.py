"""`bloomline schema`: the JSON Schema of a yard file."""

from __future__ import annotations

import argparse

from bloomline.cli.options import add_command
from bloomline.cli.output import put_json
from bloomline.words import marked, tr

_EPILOG = marked("""\
example:
  bloomline schema > yard.schema.json
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "schema",
        usage="",
        short=tr("the JSON Schema of a yard file"),
        about=tr(
            "Print the JSON Schema (draft 2020-12) of a yard file, for editors and other programs."
        ),
        epilog=tr(_EPILOG),
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    from bloomline.model.schema import yard_schema

    put_json(yard_schema())
    return 0
