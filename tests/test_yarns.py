"""Files of yarns: what is read, and every kind of fault named where it stands."""

from __future__ import annotations

import io
import sys

import pytest

from evenround.tables.yarns import Weighed, Yarns, YarnsError, read_yarns

HEAD = "name,stitch,stitches,rounds,over,hook,ball_grams,ball_metres,swatch_grams,swatch_area"
FEN = "Fen cotton,hdc,18,13.5,10cm,4 mm,50,120,4.1,10cm x 10cm"


def read(text: str | bytes, terms: str = "us", sections: tuple[str, ...] = ("fan",)) -> Yarns:
    data = text.encode() if isinstance(text, str) else text
    return read_yarns(data, "yarns.csv", terms, sections)


def table(*rows: str, head: str = HEAD) -> str:
    return "\n".join([head, *rows]) + "\n"


def test_a_row_is_read_to_its_end():
    (yarn,) = read(table(FEN)).yarns
    gauge = yarn.gauges["hdc"]
    assert (yarn.name, yarn.line, yarn.hooks) == ("Fen cotton", 2, ("4 mm",))
    assert (gauge.stitches, gauge.rounds, gauge.over_cm) == (18, 13.5, 10)
    assert (yarn.ball_grams, yarn.ball_metres) == (50, 120)
    assert yarn.swatches == {"hdc": Weighed(4.1, 100)}


def test_rows_of_one_name_are_one_yarn():
    found = read(table(FEN, " FEN  Cotton ,sc,19,22,4in", "Moor,hdc,14,,10cm"))
    assert [y.name for y in found.yarns] == ["Fen cotton", "Moor"]
    assert found.yarns[0].gauges["sc"].over_cm == pytest.approx(10.16)
    assert found.yarns[1].gauges["hdc"].rounds is None
    assert found.faults == ()


def test_stitches_are_named_in_the_terms_of_the_brief():
    (yarn,) = read(table("Fen,htr,18,13,10cm"), terms="uk").yarns
    assert set(yarn.gauges) == {"hdc"}


def test_a_row_for_a_section_holds_its_swatch():
    (yarn,) = read(table(FEN, "Fen cotton,Fan,,,,,,,3.6,10 x 12 cm")).yarns
    assert yarn.swatches["fan"] == Weighed(3.6, 120)
    assert set(yarn.gauges) == {"hdc"}


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + table(FEN),
        table(FEN).replace(",", "\t"),
        table(FEN.replace("13.5", "13,5").replace(",", ";").replace("13;5", "13,5")).replace(
            HEAD, HEAD.replace(",", ";")
        ),
        table(FEN.replace("13.5", '"13,5"')),
        "\n\n" + table(",,,", FEN, "", " , ,"),
        table(FEN, head=HEAD.upper().replace("_", " ")),
        table(FEN, head=HEAD.replace(",", " , ").replace("metres", "meters")),
        table(FEN).replace("\n", "\r\n"),
        table(FEN).encode("utf-16"),
        table(FEN.replace("Fen cotton", '"Fen cotton"')),
    ],
    ids=[
        "bom",
        "tabs",
        "semicolons and decimal commas",
        "quoted decimal comma",
        "empty lines",
        "capitals and spaces",
        "spaces and the US spelling",
        "line ends",
        "utf-16",
        "quotes",
    ],
)
def test_the_same_yarn_however_it_is_written(text: str | bytes):
    (yarn,) = read(text).yarns
    assert (yarn.name, yarn.gauges["hdc"].rounds) == ("Fen cotton", 13.5)
    assert (yarn.ball_metres, yarn.swatches["hdc"].area_cm2) == (120, 100)


def test_columns_may_stand_in_any_order_and_unknown_ones_are_said():
    text = "over,colour,stitch,name,stitchs,stitches\n10cm,red,hdc,Fen,,18\n"
    found = read(text)
    assert found.yarns[0].gauges["hdc"].stitches == 18
    assert found.notes == (
        "column 'colour' is not looked at",
        "column 'stitchs' is not looked at; did you mean stitches?",
    )


BAD = {
    ",hdc,18,14,10cm": "name: found nothing; the yarn's name would be right",
    f"{'x' * 61},hdc,18,14,10cm": "name: found 'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx...;",
    "A\x07b,hdc,18,14,10cm": r"name: found 'A\x07b'; one line of text",
    "A,,18,14,10cm": "stitch: found nothing; a stitch is one of sc,",
    "A,hx,18,14,10cm": "stitch: found 'hx'; a stitch is one of sc,",
    "A,hdc,,14,10cm": "stitches: found nothing; a number such as 18",
    "A,hdc,abc,14,10cm": "stitches: found 'abc'; a number such as 18",
    "A,hdc,0,14,10cm": "stitches: found '0'; a number such as 18",
    "A,hdc,-3,14,10cm": "stitches: found '-3'; a number such as 18",
    "A,hdc,1e2,14,10cm": "stitches: found '1e2'; a number such as 18",
    "A,hdc,nan,14,10cm": "stitches: found 'nan'; a number such as 18",
    "A,hdc,151,14,10cm": "stitches: found '151'; a number such as 18 or 18.5, at most 150",
    'A,hdc,"1,234",14,10cm': "stitches: found '1,234', which could be read two ways",
    "A,hdc,18,many,10cm": "rounds: found 'many'; a number such as 18",
    "A,hdc,18,14,": "over: found nothing; 10cm or 4in would be right: labels mix the two up",
    "A,hdc,18,14,10": "over: found '10'; 10cm or 4in would be right: labels mix the two up",
    "A,hdc,18,14,ten": "over: found 'ten'; 10cm or 4in would be right",
    "A,hdc,18,14,2m": "over: found '2m'; from 1 to 100 cm",
    "A,hdc,18,14,10cm,,heavy": "ball_grams: found 'heavy'; grams such as 50",
    "A,hdc,18,14,10cm,,0": "ball_grams: found '0'; grams such as 50",
    "A,hdc,18,14,10cm,,50,far": "ball_metres: found 'far'; metres such as 120",
    "A,hdc,18,14,10cm,,50,120,4": "swatch_area: found nothing; a weighed swatch has grams and",
    "A,hdc,18,14,10cm,,50,120,,10cm x 10cm": "swatch_grams: found nothing; a weighed swatch has",
    "A,hdc,18,14,10cm,,50,120,4,100": "swatch_area: found '100'; an area is written 10cm x 10cm",
    "A,hdc,18,14,10cm,,50,120,4,0cm2": "swatch_area: found '0cm2'; an area is written",
    "A,hdc,18,14,10cm,,50,120,4,10cm x ten": "swatch_area: found '10cm x ten'; an area",
    "A,hdc,18,14,10cm,,,,,,,more": "found 12 cells where the heading has 10; a comma inside",
    "A,fan,18,14,10cm,,,,3,100cm2": "stitches: found '18'; a section's row has a swatch only",
    "A,fan,,,,,,,,": "swatch_grams: found nothing; a section's row is there for its swatch",
    "Fen cotton,hdc,19,14,10cm": "stitch: found 'hdc' a second time for 'Fen cotton' (also line 2)",
    "Fen cotton,sc,19,14,10cm,,100": "ball_grams: found '100', but 50 in an earlier row of 'Fen",
}


@pytest.mark.parametrize(("row", "said"), BAD.items(), ids=[said[:40] for said in BAD.values()])
def test_a_bad_row_is_named_and_the_rest_go_on(row: str, said: str):
    found = read(table(FEN, row, "Moor,hdc,14,11,10cm"))
    assert [y.name for y in found.yarns] == ["Fen cotton", "Moor"]
    assert set(found.yarns[0].gauges) == {"hdc"}
    (fault,) = found.faults
    assert fault.startswith(f"yarns.csv: line 3: {said}")


def test_a_quotation_mark_left_open_ends_the_reading():
    found = read(table(FEN, '"Moor,hdc,14,11,10cm', "Reed,hdc,14,11,10cm"))
    assert [y.name for y in found.yarns] == ["Fen cotton"]
    assert found.faults[0].startswith("yarns.csv: line 3: a quotation mark is not closed")


USELESS = {
    "": "yarns.csv: found nothing; a heading and a row for each yarn would be right",
    "\n \n,,\n": "yarns.csv: found nothing; a heading",
    HEAD: "yarns.csv: found no yarn; below the heading a row for each is needed",
    "name,stitch,stitches\nA,hdc,18": "yarns.csv: line 1: found no column over; a heading names",
    f"{HEAD},Stitch\n{FEN},sc": "yarns.csv: line 1: found the column stitch twice (columns 2",
    table(",hdc,18,14,10cm"): "yarns.csv: line 2: name: found nothing",
    b"\xd0\xcf\x11\xe0rest": "yarns.csv: found an old spreadsheet; save it as XLSX, CSV or TSV",
    b"PK\x03\x04nothing": "yarns.csv: found no sheet that can be read; save it as XLSX or CSV",
    b"name\xff": "yarns.csv: found a byte that is not UTF-8 (byte 5)",
}


@pytest.mark.parametrize(("text", "said"), USELESS.items(), ids=range(len(USELESS)))
def test_a_file_of_no_use_is_refused(text: str | bytes, said: str):
    with pytest.raises(YarnsError) as refused:
        read(text)
    assert str(refused.value).startswith(said)


def sheet(rows: list[list[object]]) -> bytes:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_sheet_is_read_like_its_text():
    cells = [HEAD.split(","), [], ["Fen cotton", "hdc", 18, 13.5, "10cm", "4 mm", 50.0, 120]]
    cells[2] += [4.1, "10cm x 10cm"]
    found = read(sheet(cells))
    (yarn,) = found.yarns
    assert yarn.line == 3
    text = read(table("", FEN))
    assert (yarn.gauges, yarn.swatches) == (text.yarns[0].gauges, text.yarns[0].swatches)
    assert (yarn.ball_grams, yarn.ball_metres, yarn.hooks) == (50, 120, ("4 mm",))


def test_a_bad_row_of_a_sheet_is_named():
    found = read(sheet([HEAD.split(","), FEN.split(","), ["Moor", "hdc", "x", 11, "10cm"]]))
    assert found.faults == (
        "yarns.csv: line 3: stitches: found 'x'; a number such as 18 or 18.5, at most 150, would "
        "be right",
    )


def test_a_sheet_without_openpyxl_says_what_is_needed(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(YarnsError) as refused:
        read(b"PK\x03\x04anything")
    assert "to read XLSX the package openpyxl is needed" in str(refused.value)
