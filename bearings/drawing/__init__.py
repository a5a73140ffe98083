"""The one drawing of a stack: section through the mount, for tablet, office page and paper alike."""

from bearings.drawing.options import (
    PAPER,
    SCREEN,
    DrawingOptions,
    LoadLabel,
    Palette,
    pounds_force_text,
    si_force_text,
)
from bearings.drawing.stack import draw_stack

__all__ = [
    "PAPER",
    "SCREEN",
    "DrawingOptions",
    "LoadLabel",
    "Palette",
    "draw_stack",
    "pounds_force_text",
    "si_force_text",
]
