"""Words as a sentence wants them."""

from __future__ import annotations

from quincunx.units import Style, capital, counted, format_bytes, format_clock, in_runs, listed


def test_names_in_a_sentence():
    assert [listed(["oak", "ash", "elm"][:n]) for n in range(4)] == ["", "oak", "oak and ash", "oak, ash and elm"]


def test_a_number_agrees_with_its_word():
    assert [counted(n, "must") for n in (0, 1, 2)] == ["0 musts", "1 must", "2 musts"]
    assert [counted(n, "thing has", "things have") for n in (1, 3)] == ["1 thing has", "3 things have"]


def test_a_sentence_begins_with_a_large_letter():
    assert [capital(text) for text in ("", "a", "the Hedge")] == ["", "A", "The Hedge"]


def test_names_that_differ_by_a_number_are_one_run():
    assert in_runs(["Cobnut 1", "Cobnut 2", "Cobnut 3", "Raspberries"]) == ["Cobnut 1 to 3", "Raspberries"]
    assert in_runs(["Apple 1", "Apple 2"]) == ["Apple 1", "Apple 2"]
    assert in_runs(["Apple 1", "Apple 3", "Apple 4", "Pear 5", "Pear 6", "Pear 7"]) == [
        "Apple 1",
        "Apple 3",
        "Apple 4",
        "Pear 5 to 7",
    ]
    assert in_runs([]) == []
    assert in_runs(["7", "8", "9"]) == ["7", "8", "9"]


def test_a_size_is_told_in_kilobytes_or_megabytes_never_as_nothing():
    told = [format_bytes(n, Style()) for n in (0, 400, 12_345, 49_999, 50_000, 2_345_678)]
    assert told == ["1 kB", "1 kB", "12 kB", "50 kB", "0.1 MB", "2.3 MB"]
    assert format_bytes(2_345_678, Style(decimal_mark=",")) == "2,3 MB"


def test_an_hour_as_the_clock_shows_it():
    assert [format_clock(h) for h in (0, 9.0, 14.5, 17.999)] == ["00:00", "09:00", "14:30", "18:00"]
    assert format_clock(23 + 59.7 / 60) == "23:59"  # never an hour that the day has not
    assert format_clock(24.0) == "24:00"
