"""What travels in a drag: ids as JSON under a versioned type of our own."""

from __future__ import annotations

import json

from PySide6.QtCore import QByteArray, QMimeData

from bloomline.plan.carry.drops import Cargo

MIME_TYPE = "application/vnd.bloomline.cargo.v1+json"
_KINDS = ("cultivar", "layer", "companion", "planting", "pot")
_MAX_BYTES = 4096


def mime_of(cargo: Cargo) -> QMimeData:
    """Pack a cargo for a drag."""
    data = QMimeData()
    packed = json.dumps({"kind": cargo.kind, "id": cargo.id}).encode("utf-8")
    data.setData(MIME_TYPE, QByteArray(packed))
    return data


def cargo_of(data: QMimeData) -> Cargo | None:
    """Unpack a drag; None when it is none of ours or damaged."""
    if not data.hasFormat(MIME_TYPE):
        return None
    raw = bytes(data.data(MIME_TYPE).data())
    if len(raw) > _MAX_BYTES:
        return None
    try:
        value = json.loads(raw.decode("utf-8"))
    except ValueError:
        return None
    if not isinstance(value, dict):
        return None
    kind, name = value.get("kind"), value.get("id")
    if kind not in _KINDS or not isinstance(name, str):
        return None
    return Cargo(kind=kind, id=name)
