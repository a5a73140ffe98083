"""Invented pictures for the demo: rings laid beside the mount, drawn, not photographed."""

from __future__ import annotations

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw, ImageFilter

BENCH, STEEL, DARK, LIGHT, BRASS = "#8a7a62", "#9ea4a9", "#4a4f54", "#d3d7da", "#b08d3f"


def stack_picture(name: str, faces: str = "ddu") -> SimpleUploadedFile:
    """Return a drawn picture of bearings lying beside the mount, top at the left."""
    picture = Image.new("RGB", (1600, 1200), BENCH)
    draw = ImageDraw.Draw(picture)
    for y in range(0, 1200, 14):
        draw.line((0, y, 1600, y + 40), fill="#82725b", width=3)
    draw.rounded_rectangle((90, 240, 380, 1000), 30, fill=STEEL, outline=DARK, width=6)
    draw.rectangle((60, 180, 410, 300), fill=LIGHT, outline=DARK, width=6)
    draw.text((120, 205), "TOP", fill=DARK, font_size=64)
    for index, face in enumerate(faces):
        left = 480 + 350 * index
        wide_low = face == "d"
        draw.ellipse((left, 380, left + 320, 700), fill=LIGHT if wide_low else STEEL, outline=DARK, width=8)
        rim = 34 if wide_low else 62
        draw.ellipse((left + rim, 380 + rim, left + 320 - rim, 700 - rim), outline=DARK, width=5)
        for angle in range(0, 360, 28):
            draw.arc((left + 60, 440, left + 260, 640), angle, angle + 15, fill=BRASS, width=22)
        draw.ellipse((left + 105, 485, left + 215, 595), fill=BENCH, outline=DARK, width=6)
        draw.text((left + 120, 730), f"{41 + index}", fill="#f4f1e8", font_size=72)
    out = BytesIO()
    picture.filter(ImageFilter.GaussianBlur(1.2)).save(out, "JPEG", quality=85)
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")
