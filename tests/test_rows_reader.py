# SPDX-License-Identifier: Apache-2.0
import pytest

from brattice.adapters.rows import load_rows, read_rows, shipped_book
from brattice.errors import InputError, OwnFault
from brattice.rows import RowBook

HEAD = '[source]\nstandard = "X"\n'


def test_shipped_rows_can_all_be_read_and_each_has_a_passport() -> None:
    rows = load_rows()
    assert rows
    for row in rows:
        assert row.clause.standard
        assert row.paraphrase
        assert row.handbook or row.clause.clause


def test_the_same_id_twice_is_refused_with_the_id() -> None:
    row = '[[row]]\nid = "a.b"\nvalue = 1\nunit = "mm"\nparaphrase = "Something long"\nhow_known = "read"\n'
    with pytest.raises(InputError, match=r"rows\.toml: a\.b: found the same id and version twice"):
        read_rows(HEAD + row + row, "rows.toml")


def test_unknown_keys_and_wrong_kinds_are_named_all_at_once() -> None:
    text = HEAD + '[[row]]\nid = "A B"\nvalue = 1\nunit = 3\nparaphrase = "Some words"\nhow_known = "heard"\nx = 1\n'
    with pytest.raises(InputError) as caught:
        read_rows(text, "rows.toml")
    assert {fault.place for fault in caught.value.faults} == {"row.0.id", "row.0.unit", "row.0.how_known", "row.0.x"}


def test_a_memory_without_confidence_is_refused() -> None:
    text = HEAD + '[[row]]\nid = "a"\nvalue = 1\nunit = ""\nparaphrase = "Something long"\nhow_known = "memory"\n'
    with pytest.raises(InputError, match="a confidence with memory"):
        read_rows(text, "rows.toml")


def test_a_low_confidence_is_advice_or_refused() -> None:
    row = '[[row]]\nid = "a"\nvalue = 1\nunit = ""\nparaphrase = "Something long"\nhow_known = "memory"\n'
    with pytest.raises(InputError, match="no low-confidence row ships as a hard rule"):
        read_rows(f'{HEAD}{row}confidence = "low"\n', "rows.toml")
    (read,) = read_rows(f'{HEAD}{row}confidence = "low"\nadvice = true\n', "rows.toml")
    assert read.advice


def test_a_row_of_several_numbers() -> None:
    row = '[[row]]\nid = "{}"\nvalue = {}\nunit = ""\nparaphrase = "Something long"\nhow_known = "read"\n'
    text = HEAD + row.format("a", "[1, 2.5]") + row.format("b", '["x"]') + row.format("c", "3")
    book = RowBook.of(read_rows(text, "rows.toml"))
    assert book.numbers("a") == (1.0, 2.5)
    for name in "bc":
        with pytest.raises(OwnFault, match="holds no numbers"):
            book.numbers(name)


def test_the_book_answers_by_date_and_jurisdiction() -> None:
    book = shipped_book()
    # EN 13501-3 fire damper E steps as transposed in the French text (trade handbook row 1.5, read)
    assert book.integers("class.fire-damper.e-steps") == (30, 60, 90, 120)


def test_broken_toml_and_an_endless_number_are_plain_faults() -> None:
    for text in ("[source", f"{HEAD}x = {'9' * 5000}\n"):
        with pytest.raises(InputError, match="a TOML file"):
            read_rows(text, "rows.toml")
