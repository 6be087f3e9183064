"""Parcels of pots and layers as JSON, as they go over the clipboard."""

from __future__ import annotations

from pydantic import ValidationError

from bloomline.errors import DataError, FileProblemError
from bloomline.files.yardfile import parse_object
from bloomline.model.parcel import FORMAT, Parcel
from bloomline.model.problems import describe

MAX_BYTES = 2 * 1024**2


def dump_parcel(parcel: Parcel) -> bytes:
    """Write a parcel. Raises FileProblemError for one that is too large."""
    data = parcel.model_dump_json(exclude_none=True).encode()
    _refuse_too_much(data, name=parcel.format)
    return data


def parse_parcel(data: bytes, *, name: str) -> Parcel:
    """Read and check a parcel; `name` is how errors call where it comes from.

    Raises FileProblemError when it is no parcel at all, DataError when parts are wrong.
    """
    _refuse_too_much(data, name=name)
    document = parse_object(data, name=name)
    if document.get("format") != FORMAT:
        raise FileProblemError(name, "holds no pots or layers of bloomline")
    try:
        return Parcel.model_validate(document)
    except ValidationError as error:
        raise DataError(name, describe(error)) from None


def _refuse_too_much(data: bytes, *, name: str) -> None:
    if len(data) > MAX_BYTES:
        raise FileProblemError(name, f"more than {MAX_BYTES // 1024**2} MiB can't be carried over")
