"""Photos beside a watch: small pictures of files in the workshop, and a sentence where there is none. What a picture
shows is read back by Pillow, and what a page holds by the parser of the standard library.
"""

from __future__ import annotations

import base64
import io
import os
import struct
import zlib
from html.parser import HTMLParser
from pathlib import Path

import pytest
from demo_workshop import demo
from PIL import Image, ImageChops
from reference_build.draw_jars import PICTURES, jar

from maker_kit.bench.watching import Observation, judge_watch
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.panels.bench.after import after_panel
from maker_kit.workbook.photos import SIDE_PX, photo_of
from maker_kit.workbook.shown.bench.after import watch_sheet
from maker_kit.workshop import demo_folder, load_workshop, new_workshop

WORDS = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>'


def saved(path: Path, size: tuple[int, int] = (800, 400), **more: object) -> Path:
    """A photo whose left half is red and whose right half is blue."""
    image = Image.new("RGB", size, "red")
    image.paste("blue", (size[0] // 2, 0, *size))
    image.save(path, **more)
    return path


def vast_png(path: Path) -> None:
    """A few hundred bytes that say they are a picture of 40,000 by 40,000 dots."""
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", 40_000, 40_000, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(b"")),
        (b"IEND", b""),
    )
    told = b"".join(struct.pack(">I", len(d)) + k + d + struct.pack(">I", zlib.crc32(k + d)) for k, d in chunks)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + told)


class Images(HTMLParser):
    """The pictures and the marks of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags, self.images = set(), []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.images += [dict(attrs)] if tag == "img" else []


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "mine"
    (made / "photos").mkdir(parents=True)
    saved(made / "photos" / "day 7.jpg")
    return made


def test_a_photo_is_small_upright_and_tells_nothing_but_its_dots(folder) -> None:
    about = Image.Exif()
    about[0x0112] = 6  # orientation: turn right by a quarter (Exif 2.3, 4.6.4)
    about[0x010F] = "<b>a maker of cameras</b>"
    saved(folder / "turned.jpg", exif=about)
    for name, size in (("photos/day 7.jpg", (SIDE_PX, SIDE_PX // 2)), ("turned.jpg", (SIDE_PX // 2, SIDE_PX))):
        found = photo_of(folder, name)
        assert found.why == ""
        small = Image.open(io.BytesIO(found.jpeg))
        assert (small.format, small.size, dict(small.getexif())) == ("JPEG", size, {})
        assert b"camera" not in found.jpeg
        first, last = small.getpixel((3, 3)), small.getpixel((size[0] - 3, size[1] - 3))
        assert first[0] > 200 > 60 > first[2]
        assert last[2] > 200 > 60 > last[0]


def test_what_is_no_photo_is_said_in_a_sentence(folder) -> None:
    outside = saved(folder.parent / "outside.jpg")
    (folder / "link.jpg").symlink_to(outside)
    (folder / "round.jpg").symlink_to("round.jpg")
    (folder / "up").symlink_to(folder.parent, target_is_directory=True)
    (folder / "words.svg").write_bytes(WORDS)
    (folder / "words.jpg").write_bytes(WORDS)
    (folder / "empty.jpg").write_bytes(b"")
    torn = saved(folder / "whole.png").read_bytes()
    (folder / "torn.png").write_bytes(torn[: len(torn) // 2])
    vast_png(folder / "vast.png")
    with (folder / "huge.jpg").open("wb") as file:
        file.truncate(40 * 10**6)
    os.mkfifo(folder / "pipe.jpg")
    said = {
        "outside": ["../outside.jpg", str(outside), "link.jpg", "up/outside.jpg", "photos/../../outside.jpg"],
        "is not in the workshop": ["none.jpg", "whole.png/x", "http://example.org/a.jpg", "<img src=x>.jpg"],
        "no photo": ["words.svg", "words.jpg", "empty.jpg", "torn.png"],
        "no name": ["a\0b.jpg", "x" * 5000, "round.jpg"],
        "no file": ["photos", "pipe.jpg", ""],
        "40 MB": ["huge.jpg"],
        "dots": ["vast.png"],
    }
    for word, names in said.items():
        for name in names:
            found = photo_of(folder, name)
            assert found.jpeg == b"", name
            assert word in found.why, name
            assert len(found.why) < 200


def test_a_picture_stands_once_beside_its_day_with_words_and_nothing_typed_is_markup(folder) -> None:
    saved(folder / 'a"onerror=b.jpg')
    seen = [Observation(7, "20 °C", "look", words="same"), Observation(7, "20 °C", "spread", 6.4)]
    photos = {
        (7, "20 °C"): ("photos/day 7.jpg", "<script>alert(1)</script>.jpg"),
        (9, "<b>40 °C</b>"): ('a"onerror=b.jpg',),  # a day of which nothing else was written
    }
    shown = watch_sheet(judge_watch(seen), photos, folder)
    page = Images(shown.html())
    assert page.tags <= {"table", "thead", "tbody", "tr", "th", "td", "img", "br"}
    assert [image["alt"] for image in page.images] == [
        "photo of day 7, 20 °C: photos/day 7.jpg",
        'photo of day 9, <b>40 °C</b>: a"onerror=b.jpg',
    ]
    for image in page.images:
        assert set(image) == {"alt", "style", "src"}
        kind, inside = image["src"].split(",")
        assert kind == "data:image/jpeg;base64"
        assert Image.open(io.BytesIO(base64.b64decode(inside, validate=True))).format == "JPEG"
    assert "is not in the workshop" in shown.html()
    assert "6.4 cm" in repr(shown)
    assert "photos/day 7.jpg" in repr(shown)  # in a text the name alone
    assert "base64" not in repr(shown)


def test_the_demo_shows_its_drawn_jars_beside_the_day_and_they_are_what_was_drawn() -> None:
    whole = after_panel(demo())
    panel = whole.tabs.parts["watch"].part
    panel.tabs.selected_index = 0
    shown = Images(panel.words.value).images
    assert [image["alt"] for image in shown] == [
        f"photo of day {day}, 20 °C: photos/lotion-day-{day}.png" for day in (0, 7)
    ]
    assert "not in the workshop" not in panel.words.value
    for name, grains in PICTURES.items():
        kept = demo_folder() / "photos" / name
        assert kept.stat().st_size < 5000
        drawn = jar(grains)
        far = max(high for _, high in ImageChops.difference(Image.open(kept).convert("RGB"), drawn).getextrema())
        assert far < 40  # but for the 32 colours that it is kept in
    whole.after.book.close()


def test_a_photo_is_written_down_on_the_screen_and_stands_in_its_table(tmp_path: Path) -> None:
    made = new_workshop(tmp_path / "mine")
    saved(made / "jar.jpg")
    shop = load_workshop(made)
    book = BenchBook(shop)
    book.to_write().add("batch", number="R2-01", recipe="r2-gel-cream", version="v", made_on="2026-11-02", containers=4)
    book.close()
    whole = after_panel(shop, "R2-01")
    panel = whole.tabs.parts["watch"].part
    rows = panel.children[3].children[0].children
    kind, day, place, value, press, said = rows
    for name in ("jar.jpg", "lid.jpg"):
        kind.value, day.value, place.value, value.value = "photo", "7", "20 °C", name
        press.click()
        assert "photo of day 7 is in the log" in said.children[-1].value
    assert "is not in the workshop" in said.children[-1].value
    panel.tabs.selected_index = 0
    assert Images(panel.words.value).images[0]["alt"].endswith("jar.jpg")
    whole.after.book.close()
