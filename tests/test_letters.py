"""Letters of files: what is text and what is none, by the marks of Unicode (The Unicode Standard, 23.8; S)."""

from __future__ import annotations

import pytest

from sitemap.letters import text_of

TABLE = "Höhe;Länge\r\n3,5;12\r\n"


@pytest.mark.parametrize("letters", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_law_a_table_is_read_in_whatever_letters_it_was_written(letters: str) -> None:
    assert text_of(TABLE.encode(letters)) == TABLE


def test_law_every_mark_of_two_bytes_is_known_and_no_part_of_one() -> None:
    assert [
        text_of(mark + "é".encode(letters))
        for mark, letters in ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))
    ] == ["é", "é"]
    assert text_of(b"\xff\xe9t\xe9") == "ÿété"


@pytest.mark.parametrize("data", [b"a\0", b"\0a", b"a\0bc", b"a\0b", b""])
def test_law_a_zero_here_and_there_makes_no_letters_of_two_bytes(data: bytes) -> None:
    """Half of the bytes or fewer, or a single one: it is left as it stands, and whoever reads it refuses it."""
    assert text_of(data) == data.decode()


@pytest.mark.parametrize("at", [0, 1, 3999])
def test_law_below_the_tab_no_byte_is_of_a_text(at: int) -> None:
    """ASCII: 9 is the tab, 8 the backspace, and among the first 4,000 bytes one of these tells a picture."""
    letters = bytearray(b"\xe9" * 4100)
    letters[at] = 9
    assert text_of(bytes(letters)) == "é" * at + "\t" + "é" * (4099 - at)
    letters[at] = 8
    assert text_of(bytes(letters)) is None


def test_law_only_the_beginning_is_looked_at() -> None:
    assert text_of(b"\xe9" * 4000 + b"\x01") == "é" * 4000 + "\x01"


@pytest.mark.parametrize("letters", ["utf-16-le", "utf-16-be"])
def test_law_two_letters_and_more_of_two_bytes_are_known_without_a_mark(letters: str) -> None:
    text = "Name;Height;1,5"
    for length in range(2, len(text) + 1):
        assert text_of(text[:length].encode(letters)) == text[:length]
