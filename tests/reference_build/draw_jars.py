"""The demo's two pictures of a jar, drawn: no product, no photo. Use: ``python draw_jars.py FOLDER``."""

from __future__ import annotations

import random
import sys
from pathlib import Path

from PIL import Image, ImageDraw

SIZE = (240, 240)
GLASS, INSIDE, GRAIN = (120, 120, 120), (246, 238, 216), (196, 176, 128)


def jar(grains: int) -> Image.Image:
    """A jar with a lid and what is in it, smooth or with so many grains."""
    image = Image.new("RGB", SIZE, "white")
    pen = ImageDraw.Draw(image)
    pen.rectangle((70, 24, 170, 56), fill=(150, 160, 170), outline=GLASS, width=3)
    pen.rounded_rectangle((50, 56, 190, 216), 22, fill=(236, 242, 244), outline=GLASS, width=4)
    pen.rounded_rectangle((58, 88, 182, 208), 16, fill=INSIDE)
    draw = random.Random(5)
    for _ in range(grains):
        x, y, r = draw.uniform(66, 174), draw.uniform(96, 200), draw.uniform(1.5, 4)
        pen.ellipse((x - r, y - r, x + r, y + r), fill=GRAIN)
    return image


PICTURES = {"lotion-day-0.png": 0, "lotion-day-7.png": 90}


def main(folder: str) -> None:
    """Write both pictures."""
    for name, grains in PICTURES.items():
        jar(grains).quantize(32).save(Path(folder) / name, optimize=True)


if __name__ == "__main__":
    main(sys.argv[1])
