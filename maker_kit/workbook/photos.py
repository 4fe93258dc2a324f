"""A photo that a maker named, as a small picture: from a file in her workshop's folder, and from nowhere else.

The file is decoded and written anew as a small JPEG, so that nothing of it reaches a page but its pixels: no markup, no
place where it was taken, no second file behind the picture.
"""

from __future__ import annotations

import io
import struct
import warnings
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from PIL import Image, ImageOps

from maker_kit.errors import short

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_MB, MOST_MEGAPIXELS = 30, 80
"""Larger files than these are no photo of a jar."""
SIDE_PX = 220
"""Longest side of the small picture; shown at half of it, it is sharp on a fine screen."""
_SPOILT = (OSError, SyntaxError, ValueError, EOFError, struct.error)


@dataclass(frozen=True)
class Photo:
    """A photo, or why there is none to be shown.

    Attributes
    ----------
    name : str
        As the maker wrote it.
    jpeg : bytes
        The small picture; empty where there is none.
    why : str
        Why there is none, in a sentence; empty where there is one.
    """

    name: str
    jpeg: bytes = b""
    why: str = ""


def photo_of(folder: Path, name: str) -> Photo:
    """The photo of that name in a workshop's folder.

    Parameters
    ----------
    folder : pathlib.Path
    name : str
        Of a file in the folder or below it, such as ``photos/day 7.jpg``.

    Returns
    -------
    Photo
        Without a picture, and with a sentence, where the file is missing, lies elsewhere, is too large or is no photo.
    """
    told = short(name)
    try:
        home, path = folder.resolve(), (folder / name.strip()).resolve(strict=True)
        if not path.is_relative_to(home):
            return Photo(name, why=f"{told} lies outside the workshop's folder: copy the photo into it.")
        if not path.is_file():
            return Photo(name, why=f"{told} is no file: name the photo itself.")
        about = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return Photo(name, why=f"{told} is not in the workshop's folder: copy the photo into it, by this name.")
    except (OSError, ValueError, RuntimeError):
        return Photo(name, why=f"{told} is no name of a file that can be read.")
    if about.st_size > MOST_MB * 10**6:
        return Photo(name, why=f"{told} holds {about.st_size / 10**6:.0f} MB; at most {MOST_MB} MB are shown.")
    try:
        return Photo(name, _small(str(path), about.st_mtime_ns, about.st_size))
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        return Photo(name, why=f"{told} has more than {MOST_MEGAPIXELS} million dots: make it smaller.")
    except PermissionError:
        return Photo(name, why=f"{told} may not be read.")
    except _SPOILT:
        return Photo(name, why=f"{told} is no photo that can be shown: save it as JPEG or PNG.")


@lru_cache(64)
def _small(path: str, changed_ns: int, size: int) -> bytes:
    """The file as a small JPEG; read again when it has changed."""
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        with Image.open(path, formats=FORMATS) as image:
            if image.width * image.height > MOST_MEGAPIXELS * 10**6:
                raise Image.DecompressionBombWarning
            image.draft("RGB", (2 * SIDE_PX, 2 * SIDE_PX))
            upright = ImageOps.exif_transpose(image).convert("RGBA")
    upright.thumbnail((SIDE_PX, SIDE_PX))
    ground = Image.new("RGB", upright.size, "white")
    ground.paste(upright, mask=upright.getchannel("A"))
    out = io.BytesIO()
    ground.save(out, "JPEG", quality=85)
    return out.getvalue()
