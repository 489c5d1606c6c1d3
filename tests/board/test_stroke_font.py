"""The letters of the legend, against the package they were taken from."""

from boardgen.board.stroke_font import CAP, _font, ascii_text


def test_letters_are_those_of_the_package():
    """Hershey-Fonts, "futural": every printable letter of ASCII, stroke by stroke."""
    from HersheyFonts import HersheyFonts

    peer = HersheyFonts()
    peer.load_default_font("futural")
    letters = [chr(code) for code in range(33, 127)]
    assert list(_font()) == letters
    for letter in letters:
        assert [tuple(map(tuple, stroke)) for stroke in peer.strokes_for_text(letter)] == [
            tuple(stroke) for stroke in _font()[letter]
        ]


def test_a_capital_is_as_high_as_it_should_be():
    assert {min(y for stroke in _font()[letter] for _, y in stroke) for letter in "AEHTZ"} == {CAP}


def test_every_letter_that_is_written_is_there():
    assert set(ascii_text("Größe 5 kΩ ±1 % – α")) <= {*_font(), " "}


def test_a_letter_that_is_not_there_leaves_no_mark():
    assert ascii_text("Ünusual Straße ✓ B") == "Unusual Strasse B"
    assert ascii_text("Δοκ") == ""
