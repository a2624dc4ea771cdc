"""Bytes of a text file as text, whatever letters the program that wrote it uses."""

from __future__ import annotations

WIDE = (b"\xff\xfe", b"\xfe\xff")  # marks of letters of two bytes
_TRIED = 4000  # bytes looked at
_CONTROL = 9  # bytes below are none of any text


def text_of(data: bytes) -> str | None:
    """The text; None where there is none, as in a picture or a program.

    Read are letters of two bytes with their mark or without, UTF-8, and what older spreadsheets write.

    >>> text_of("Höhe".encode("utf-16")), text_of("Höhe".encode("cp1252")), text_of(b"\\x89PNG\\x00\\x01")
    ('Höhe', 'Höhe', None)
    """
    if data[:2] in WIDE:
        return data.decode("utf-16", "replace")
    for letters, halves in (("utf-16-le", data[1:_TRIED:2]), ("utf-16-be", data[:_TRIED:2])):
        if len(halves) > 1 and halves.count(0) * 2 > len(halves):
            return data.decode(letters, "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    return None if any(byte < _CONTROL for byte in data[:_TRIED]) else data.decode("cp1252", errors="replace")
