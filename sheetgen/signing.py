"""The office's signing key: Ed25519 (RFC 8032), kept as a PKCS #8 file in PEM form (RFC 5958, RFC 7468).

A public key is written as 64 hexadecimal digits and a signature as 128, so that both survive in a cell. Who has the
public key can prove what the office signed; only who has the key file can sign.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import stat
import sys
import tempfile
from getpass import getpass
from pathlib import Path

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from sheetgen import templates
from sheetgen.errors import KeyFileError
from sheetgen.output import printable

PUBLIC_DIGITS, SIGNATURE_DIGITS = 64, 128  # RFC 8032, 5.1.5 and 5.1.6: 32 and 64 bytes
PASSPHRASE = "SHEETGEN_PASSPHRASE"  # the variable of the environment that opens locked keys
_LARGEST = 65_536
_asked: dict[Path, str] = {}  # what a person typed in this process, by key file
_PRIVATE = (
    "PRIVATE KEY",
    "MC4CAQAwBQYDK2Vw",
)  # RFC 7468, 10; how every Ed25519 key in PKCS #8 begins (RFC 8410, 7)
_SHOWN = 24  # signs of what was given for a public key: what is no public key may be a secret


def new_key(path: str | Path, passphrase: str | None = None) -> None:
    """Make a signing key and write it where nothing stands yet, readable by its owner alone.

    Args:
        path: the file to write; its folder must be there
        passphrase: locks the file; None for a file that anyone who has it can sign with

    Raises:
        KeyFileError: something of that name is there already, or the file cannot be written.
    """
    path = Path(path)
    if passphrase == "":
        raise _trouble("empty_passphrase", path)
    if os.path.lexists(path):
        raise _trouble("exists", path)
    lock = (
        serialization.NoEncryption()
        if passphrase is None
        else serialization.BestAvailableEncryption(passphrase.encode())
    )
    made = Ed25519PrivateKey.generate()
    _write_once(path, made.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, lock))


def load_key(path: str | Path, passphrase: str | None = None) -> Ed25519PrivateKey:
    """Read a signing key.

    Raises:
        KeyFileError: the file is missing, unreadable, no Ed25519 key in PEM form, or locked otherwise.

    A locked key is opened with the passphrase given, with the one in the environment (``SHEETGEN_PASSPHRASE``), or with
    the one that a person at a terminal is asked for, once for each file.
    """
    path = Path(path)
    pem = _read(path)
    if passphrase is None and b"ENCRYPTED" in pem:
        passphrase = _known_passphrase(path)
    try:
        key = serialization.load_pem_private_key(pem, None if passphrase is None else passphrase.encode())
    except TypeError as error:  # the library's word for a passphrase missing, or given for nothing
        raise _trouble("locked" if passphrase is None else "not_locked", path) from error
    except (ValueError, UnsupportedAlgorithm) as error:
        locked = passphrase is not None and b"ENCRYPTED" in pem
        raise _trouble("wrong_passphrase" if locked else "not_a_key", path) from error
    if not isinstance(key, Ed25519PrivateKey):
        raise _trouble("other_kind", path)
    return key


def ask_passphrase(path: str | Path) -> str:
    """The passphrase that a key is to be locked with: of the environment, or typed twice at a terminal.

    Raises:
        KeyFileError: there is none, or the two differ.
    """
    path = Path(path)
    if (known := os.environ.get(PASSPHRASE)) is not None:
        return known
    if not _at_a_terminal():
        raise _trouble("no_terminal", path, variable=PASSPHRASE)
    first = getpass(_say("ask", path=path))
    if getpass(_say("ask_again", path=path)) != first:
        raise _trouble("not_repeated", path)
    return first


def open_to_others(path: str | Path) -> bool:
    """Whether others than its owner may read a key file; False on systems whose files do not say."""
    return os.name == "posix" and bool(Path(path).stat().st_mode & 0o077)


def _known_passphrase(path: Path) -> str | None:
    """Of the environment, or asked for where a person is there to type it; None where there is neither."""
    known = os.environ.get(PASSPHRASE) or _asked.get(path)
    if known is None and _at_a_terminal():
        known = _asked[path] = getpass(_say("ask", path=path))
    return known


def _at_a_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()


def public_text(key: Ed25519PrivateKey) -> str:
    """The public key that belongs to a signing key, as 64 hexadecimal digits in lower case."""
    return key.public_key().public_bytes_raw().hex()


def sign(key: Ed25519PrivateKey, message: bytes) -> str:
    """The signature of a message, as 128 hexadecimal digits; the same for the same key and message."""
    return key.sign(message).hex()


def verify(public_text: str, message: bytes, signature: str) -> bool:
    """Whether a signature is of this message by this public key; False for texts that are no key or signature."""
    public, signed = _bytes(public_text, PUBLIC_DIGITS), _bytes(signature, SIGNATURE_DIGITS)
    if public is None or signed is None:
        return False
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signed, message)
    except (InvalidSignature, ValueError):
        return False
    return True


def read_public_text(given: str) -> str:
    """A public key as a person typed or pasted it: spaces and line ends taken out, in lower case.

    Raises:
        KeyFileError: it is not 64 hexadecimal digits.
    """
    plain = re.sub(r"\s+", "", given).lower()
    if any(mark in given for mark in _PRIVATE):
        raise KeyFileError(_say("private_given"))
    if _bytes(plain, PUBLIC_DIGITS) is None:
        shown = printable(given, _SHOWN)
        raise KeyFileError(_say("not_public", found=repr(shown), digits=PUBLIC_DIGITS))
    return plain


def fingerprint(public_text: str) -> str:
    """A public key in a form to compare by eye or by telephone: 32 digits of its SHA-256, in fours.

    Raises:
        KeyFileError: it is not a public key.
    """
    digest = hashlib.sha256(bytes.fromhex(read_public_text(public_text))).hexdigest().upper()
    return "-".join(digest[start : start + 4] for start in range(0, 32, 4))


def _bytes(text: str, digits: int) -> bytes | None:
    return bytes.fromhex(text) if re.fullmatch(rf"[0-9a-fA-F]{{{digits}}}", text) else None


def _read(path: Path) -> bytes:
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # a pipe or a device could be waited for forever
            raise _trouble("not_a_file", path)
        with path.open("rb") as file:
            pem = file.read(_LARGEST + 1)
    except FileNotFoundError as error:
        raise _trouble("missing", path) from error
    except OSError as error:
        raise _trouble("unreadable", path, reason=error.strerror or error) from error
    if len(pem) > _LARGEST:
        raise _trouble("too_large", path, size=f"{path.stat().st_size:,}")
    return pem


def _write_once(path: Path, pem: bytes) -> None:
    """Write beside and link into place: whole or not at all, and never over a file that came in between."""
    try:
        handle, name = tempfile.mkstemp(prefix=".new-key-", dir=path.parent)  # mode 600 from the first byte
    except FileNotFoundError as error:
        raise _trouble("no_folder", path) from error
    except OSError as error:
        raise _trouble("unwritable", path, reason=error.strerror or error) from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(pem)
            file.flush()
            os.fsync(file.fileno())
        _link(Path(name), path, pem)
    except FileExistsError as error:
        raise _trouble("exists", path) from error
    except OSError as error:
        raise _trouble("unwritable", path, reason=error.strerror or error) from error
    finally:
        with contextlib.suppress(FileNotFoundError):
            Path(name).unlink()


def _link(beside: Path, path: Path, pem: bytes) -> None:
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links, such as that of a memory stick
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(pem)


def _trouble(why: str, path: Path, **facts: object) -> KeyFileError:
    return KeyFileError(_say(why, path=path, **facts))


def _say(why: str, **facts: object) -> str:
    return templates.spoken_texts().say(f"keys.{why}", **facts)
