"""Peak memory of the decoding process for one picture at the limit of each format.

python -m tests.benchmarks.bench_picture_memory
Goal: below 300 MB for each. The limits in ``repairs/photos/pixels.py`` come from here.
"""

from __future__ import annotations

import sys
import time
from io import BytesIO
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pillow_heif
from PIL import Image

from repairs.photos.decoder import MEMORY_BYTES, answer_to, limit_memory

GOAL_MB = 300
TURNED = Image.Exif()
TURNED[0x0112] = 6


def drawn(mode: str, megapixels: float) -> Image.Image:
    """Return a picture with some texture, 4 by 3."""
    height = int((megapixels * 1e6 * 3 / 4) ** 0.5)
    return Image.effect_noise((400, 300), 40).resize((height * 4 // 3, height)).convert(mode)


def saved(kind: str, mode: str, megapixels: float, **how: Any) -> bytes:
    out = BytesIO()
    picture = drawn(mode, megapixels)
    if kind == "HEIF":
        pillow_heif.register_heif_opener()
    picture.save(out, kind, **how)
    return out.getvalue()


CASES: dict[str, tuple[str, str, float, dict[str, Any]]] = {
    "JPEG 12 MP": ("JPEG", "RGB", 12, {"quality": 90}),
    "JPEG 24 MP turned": ("JPEG", "RGB", 24.9, {"quality": 90, "exif": TURNED}),
    "JPEG 48 MP": ("JPEG", "RGB", 48, {"quality": 90}),
    "JPEG 108 MP": ("JPEG", "RGB", 108, {"quality": 60}),
    "progressive JPEG 24.9 MP 4:4:4": ("JPEG", "RGB", 24.9, {"progressive": True, "subsampling": 0}),
    "progressive JPEG 48 MP": ("JPEG", "RGB", 48, {"progressive": True}),
    "PNG 39.9 MP": ("PNG", "RGB", 39.9, {"compress_level": 1}),
    "PNG with alpha 24.9 MP": ("PNG", "RGBA", 24.9, {"compress_level": 1}),
    "HEIC 24.9 MP": ("HEIF", "RGB", 24.9, {"quality": 50}),
    "WebP 14.9 MP": ("WEBP", "RGB", 14.9, {"quality": 70, "method": 0}),
    "WebP with alpha 14.9 MP": ("WEBP", "RGBA", 14.9, {"quality": 70, "method": 0}),
}  # fmt: skip


def peak(content: bytes, answer: Any) -> None:
    """Decode as the process apart does; say its answer, its peak in MB and the seconds it took."""
    limit_memory(MEMORY_BYTES)
    start = time.monotonic()
    head = answer_to({"want": "sizes", "most_pixels": 200_000_000}, content)[0]
    # Not ru_maxrss, which a process takes over from the one that started it.
    line = next(row for row in Path("/proc/self/status").read_text().splitlines() if row.startswith("VmHWM"))
    used = int(line.split()[1]) / 1024
    answer.put((head.decode()[:110], round(used), round(time.monotonic() - start, 1)))


def main() -> int:
    worst, context = 0, get_context("spawn")
    print(f"{'picture':32} {'MB':>5} {'s':>5}  answer")
    for name, (kind, mode, megapixels, how) in CASES.items():
        answer = context.Queue()
        process = context.Process(target=peak, args=(saved(kind, mode, megapixels, **how), answer))
        process.start()
        said, used, seconds = answer.get(timeout=180)
        process.join()
        worst = max(worst, used)
        print(f"{name:32} {used:5} {seconds:5}  {said}", flush=True)
    print(f"worst {worst} MB, goal below {GOAL_MB}")
    return 0 if worst < GOAL_MB else 1


if __name__ == "__main__":
    sys.exit(main())
