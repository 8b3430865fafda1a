"""The QR symbol against its standard, another encoder and a reader that knows nothing of ours."""

from __future__ import annotations

import pytest
import segno
import zxingcpp
from PIL import Image

from cardgen.press.edition import load_edition
from cardgen.press.qr import QUIET_ZONE, matrix

MM = 72 / 25.4
ADDRESSES = [
    "https://log.example.org/a/#c=7K2M-9QXD-4&k=track",
    "https://log.example.org/a-club-with-a-rather-long-name/rotors/#c=7K2M-9QXD-4&k=second-reading",
    "https://log.example.org/a/#c=DRAFT&k=log-slip",
]

# ISO/IEC 18004:2015, table 7, byte mode at level Q, versions 1 to 12 (from memory; segno's own
# table is asked as well below).
CAPACITY = [11, 20, 32, 46, 60, 74, 86, 108, 130, 151, 177, 203]


def _picture(rows: tuple[tuple[bool, ...], ...], scale: int = 5) -> Image.Image:
    picture = Image.new("L", (len(rows), len(rows)), 255)
    picture.putdata([0 if module else 255 for row in rows for module in row])
    return picture.resize((len(rows) * scale, len(rows) * scale), Image.Resampling.NEAREST)


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_reader_reads_the_address_back_at_level_q(address: str) -> None:
    (read,) = zxingcpp.read_barcodes(_picture(matrix(address)))
    assert read.text == address
    assert read.ec_level == "Q"


@pytest.mark.parametrize("address", ADDRESSES)
def test_another_encoder_needs_a_symbol_of_the_same_size(address: str) -> None:
    other = segno.make(address, error="q", boost_error=False, micro=False, mode="byte")
    assert len(matrix(address)) == other.symbol_size(border=QUIET_ZONE)[0]


@pytest.mark.parametrize(("version", "capacity"), list(enumerate(CAPACITY, start=1))[3:])
def test_the_symbol_grows_where_the_standard_says_it_is_full(version: int, capacity: int) -> None:
    # ISO/IEC 18004:2015, 6.3.2 (from memory): a symbol of version v has 17 + 4 v modules a side.
    assert len(matrix("a" * capacity)) - 2 * QUIET_ZONE == 17 + 4 * version
    assert len(matrix("a" * (capacity + 1))) - 2 * QUIET_ZONE == 17 + 4 * (version + 1)


# ISO/IEC 18004:2015, table 7, byte mode: version 4 holds 34 characters at level H and 46 at level Q.
@pytest.mark.parametrize(("characters", "level"), [(1, "H"), (28, "H"), (34, "H"), (35, "Q"), (46, "Q")])
def test_a_short_text_stands_in_version_4_at_the_highest_level_that_it_holds(
    characters: int, level: str
) -> None:
    rows = matrix("a" * characters)
    assert len(rows) - 2 * QUIET_ZONE == 33
    (read,) = zxingcpp.read_barcodes(_picture(rows))
    assert (read.text, read.ec_level) == ("a" * characters, level)


def test_an_ordinary_address_is_small_enough_for_a_pocket_card() -> None:
    # Version 6 is 41 modules and 8 of quiet zone: 24.9 mm at 0.508 mm, 39.4 mm on the wall.
    address = "https://rotor-log.example.org/tx-19/#c=7K2M-9QXD-4&k=run-up-card"
    assert 60 < len(address) <= 74
    side = len(matrix(address))
    assert side == 41 + 8
    assert side * load_edition("pouch", "iso").module / MM == pytest.approx(24.892)
    assert side * load_edition("wall", "iso").module / MM == pytest.approx(39.412, abs=0.01)


def test_a_blot_over_a_tenth_of_the_symbol_is_read_through() -> None:
    # Level Q is meant to recover a quarter of the codewords (ISO/IEC 18004).
    rows = [list(row) for row in matrix(ADDRESSES[0])]
    middle = len(rows) // 2
    half = round((0.10 * 37 * 37) ** 0.5 / 2)
    for y in range(middle - half, middle + half):
        for x in range(middle - half, middle + half):
            rows[y][x] = True
    (read,) = zxingcpp.read_barcodes(_picture(tuple(map(tuple, rows))))
    assert read.text == ADDRESSES[0]
