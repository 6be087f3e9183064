"""Whether a window can be shown here; Qt ends the process without a word where it can't."""

from __future__ import annotations

import ctypes
import os
import sys


def has_display() -> bool:
    """Whether there is a display, and it can be reached."""
    if not sys.platform.startswith("linux"):
        return True
    platform = os.environ.get("QT_QPA_PLATFORM", "")
    if platform and not platform.startswith(("xcb", "wayland")):
        return True  # offscreen and the like
    return _has_wayland() or _has_x()


def _has_x() -> bool:
    if not os.environ.get("DISPLAY"):
        return False
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # Qt says then which library is missing
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    is_broken = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return not is_broken


def _has_wayland() -> bool:
    if not os.environ.get("WAYLAND_DISPLAY"):
        return False
    try:
        wayland = ctypes.CDLL("libwayland-client.so.0")
    except OSError:
        return True
    wayland.wl_display_connect.restype = ctypes.c_void_p
    connection = wayland.wl_display_connect(None)
    if connection is None:
        return False
    wayland.wl_display_disconnect(ctypes.c_void_p(connection))
    return True
