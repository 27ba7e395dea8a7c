"""Names of files made from names that people chose: one of its own for each, in letters that every system takes."""

from __future__ import annotations

import sys
import unicodedata
from collections.abc import Iterable

_PLAIN = frozenset("._-")
_BYTES = (
    80  # of one part in UTF-8: two parts, what is put behind them and a folder stay within what systems hold
)
_ENDING = 8  # signs of an ending
# Names that a system keeps for its devices, whatever their ending.
_HELD = {
    "CON",
    "PRN",
    "AUX",
    "NUL",
    *(f"{port}{number}" for port in ("COM", "LPT") for number in range(1, 10)),
}


def file_stems(job: str, names: Iterable[str], empty: str = "book") -> list[str]:
    """A file name without its ending for each name of a job, no two alike on any system.

    Names that differ only in signs, accents or capitals would share a file on one system or another: the second of
    them gets a number. Letters of other alphabets stay; where the system's own names cannot hold them they go, and
    the number tells the files apart.

    Args:
        job: what stands before each name
        names: in the order in which numbers are given
        empty: what stands where nothing of a name is left
    """
    stems: list[str] = []
    taken: set[str] = set()
    front = _part(job) or empty
    for name in names:
        stem = f"{front}_{_part(name) or empty}"
        tried, number = stem, 1
        while _alike(tried) in taken:
            number += 1
            tried = f"{stem}-{number}"
        taken.add(_alike(tried))
        stems.append(tried)
    return stems


def received_name(given: str, taken: Iterable[str]) -> str:
    """A name to keep a file under that somebody hands in under another: no folder in it, no sign that acts, its own.

    Args:
        given: as it came, which may be a path of any system
        taken: names of the folder that it is kept in
    """
    stem, ending = _parted(given)
    others = {_alike(name) for name in taken}
    tried, number = f"{stem}{ending}", 1
    while _alike(tried) in others:
        number += 1
        tried = f"{stem} ({number}){ending}"
    return tried


def _parted(given: str) -> tuple[str, str]:
    """The stem and ending of the last part of a path."""
    last = given.replace("\\", "/").rpartition("/")[2]
    kept = "".join(
        sign if sign in " ()" or _stays(sign) else "-" for sign in unicodedata.normalize("NFC", last)
    )
    stem, dot, ending = kept.rpartition(".")
    if not dot or not ending.isalnum() or len(ending) > _ENDING:
        stem, dot, ending = kept, "", ""
    stem = stem.encode()[: 2 * _BYTES].decode("utf-8", "ignore").strip(" .")
    if stem.split(".")[0].strip().upper() in _HELD:
        stem += "_"
    return stem or "file", f"{dot}{ending.lower()}"


def _part(text: str) -> str:
    kept = "".join(sign if _stays(sign) else "\0" for sign in _unaccented(text))
    part = "-".join(piece for piece in kept.split("\0") if piece)
    return part.encode()[:_BYTES].decode("utf-8", "ignore").strip("-.")


def _stays(sign: str) -> bool:
    if sign not in _PLAIN and not sign.isalnum() and unicodedata.category(sign)[0] != "M":
        return False
    try:
        sign.encode(sys.getfilesystemencoding())
    except UnicodeEncodeError:
        return False
    return True


def _unaccented(text: str) -> str:
    """Latin letters without their accents ("Camión" is "Camion", as people without the key write it).

    In other alphabets marks are part of the word, and stay.
    """
    plain: list[str] = []
    latin = False
    for sign in unicodedata.normalize("NFKD", text):
        if unicodedata.combining(sign):
            if latin:
                continue
        else:
            latin = sign.isascii()
        plain.append(sign)
    return unicodedata.normalize("NFC", "".join(plain))


def _alike(stem: str) -> str:
    """What two names have in common that some system takes for the same file."""
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", stem) if not unicodedata.combining(sign))
    return bare.casefold()
