"""Files made to break a reader: each name says how. All are small on disk."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from blockbook.intake.limits import SIZE_LIMIT, UNPACKED_LIMIT
from blockbook.workbook.layout import COLUMN
from tests.intake.packages import number, ods_parts, relations, row_of, shared, sheet, words, xlsx_parts, zipped
from tests.intake.small_block import clean_file, edited
from tests.intake.small_block import row_of as row_of_key

MEGABYTE = 1_000_000
_SHEET = "xl/worksheets/sheet1.xml"
_EXPANSION = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
_ELSEWHERE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'


def _cell(reference: str, value: str = "1") -> str:
    return f'<row><c r="{reference}"><v>{value}</v></c></row>'


def _with(part: str, content: str | bytes) -> bytes:
    return zipped(xlsx_parts() | {part: content})


def part_of_zeros() -> bytes:
    return _with(_SHEET, b"\x00" * (UNPACKED_LIMIT * 3))


def part_of_blanks() -> bytes:
    return _with(_SHEET, sheet(" " * (UNPACKED_LIMIT * 2)))


def part_that_lies_about_its_size() -> bytes:
    """Both tables of the package say 100 bytes; unpacked it has 120 MB."""
    content = bytearray(_with(_SHEET, b"<" * 120 * MEGABYTE))
    size = struct.pack("<I", 120 * MEGABYTE)
    while size in content:
        at = content.index(size)
        content[at : at + 4] = struct.pack("<I", 100)
    return bytes(content)


def parts_that_overlap() -> bytes:
    """A thousand entries of the table of contents lead to the same 30 MB."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = packer.compress(b"<" * 30 * MEGABYTE) + packer.flush()
    sum_of = zlib.crc32(b"<" * 30 * MEGABYTE)
    local = struct.pack("<4s5H3I2H", b"PK\x03\x04", 20, 0, 8, 0, 33, sum_of, len(packed), 30 * MEGABYTE, 1, 0) + b"a"
    entries = b"".join(
        struct.pack("<4s6H3I5H2I", b"PK\x01\x02", 20, 20, 0, 8, 0, 33, sum_of, len(packed), 30 * MEGABYTE,
                    len(name), 0, 0, 0, 0, 0, 0) + name
        for name in (b"xl/worksheets/sheet%d.xml" % i if i else b"xl/workbook.xml" for i in range(1_000))
    )  # fmt: skip
    end = struct.pack("<4s4H2IH", b"PK\x05\x06", 0, 0, 1_000, 1_000, len(entries), len(local + packed), 0)
    return local + packed + entries + end


def archive_in_archive_in_archive() -> bytes:
    content = zipped({"0.txt": b"0" * 10 * MEGABYTE})
    for depth in range(6):
        content = zipped({f"{depth}-{copy}.zip": content for copy in range(10)})
    return content


def archive_of_many_files() -> bytes:
    return zipped({f"{number}.csv": "1,2\n" for number in range(4_000)})


def archive_of_bombs() -> bytes:
    return zipped({f"{number}.csv": b"1," * (SIZE_LIMIT // 3) for number in range(50)})


def archive_that_climbs_out() -> bytes:
    return zipped({"../../../escaped.csv": "a,b\n1,2\n", "/etc/escaped.csv": "1,2\n", "C:\\escaped.csv": "3,4\n"})


def cell_at_the_far_corner() -> bytes:
    return zipped(xlsx_parts(_cell("A1") + _cell("XFD1048576")))


def cell_in_row_two_to_the_31st() -> bytes:
    return zipped(xlsx_parts(_cell("A1") + _cell("A2147483648")))


def cell_in_no_column() -> bytes:
    return zipped(xlsx_parts(_cell("ZZZZZZZ1") + _cell("A0") + _cell("1A")))


def rows_out_of_order() -> bytes:
    return zipped(xlsx_parts("".join(_cell(f"A{row}") for row in (4000, 2, 3000, 1))))


def row_number_of_twenty_digits() -> bytes:
    return zipped(xlsx_parts('<row r="99999999999999999999"><c><v>1</v></c></row>'))


def cells_without_references() -> bytes:
    return zipped(xlsx_parts("<row>" + "<c><v>1</v></c>" * 150_000 + "</row>"))


def cells_two_hundred_thousand_columns_apart() -> bytes:
    return zipped(xlsx_parts("<row>" + "<c/>" * 400_000 + "<c><v>1</v></c></row>"))


def a_million_empty_cells() -> bytes:
    return zipped(xlsx_parts("<row>" + "<c/>" * 5 * MEGABYTE + "</row>"))


def every_second_sheet_a_wide_one() -> bytes:
    parts = xlsx_parts()
    names = range(1, 180)
    head, _, rest = str(parts["xl/workbook.xml"]).partition("<sheets>")
    listed = "".join(f'<sheet name="S{i}" sheetId="{i}" r:id="s{i}"/>' for i in names)
    parts["xl/workbook.xml"] = f"{head}<sheets>{listed}{rest.partition('<sheet name')[2].partition('/>')[2]}"
    parts["xl/_rels/workbook.xml.rels"] = relations({f"s{i}": ("worksheet", f"worksheets/s{i}.xml") for i in names})
    return zipped(parts | {f"xl/worksheets/s{i}.xml": sheet(_cell("A1") + _cell("IV5000")) for i in names})


def declared_size_of_the_whole_sheet() -> bytes:
    return _with(_SHEET, sheet(_cell("B2"), '<dimension ref="A1:XFD1048576"/>'))


def merged_cells_everywhere() -> bytes:
    merged = '<mergeCell ref="A1:XFD1048576"/>' * 100_000
    body = f"{_cell('A1')}</sheetData><mergeCells>{merged}</mergeCells><sheetData>"
    return zipped(xlsx_parts(body))


def text_shared_by_every_cell() -> bytes:
    cells = "".join(f'<c r="{letter}{row}" t="s"><v>0</v></c>' for row in range(1, 4000) for letter in "ABCDEFGH")
    return zipped(xlsx_parts(f"<row>{cells}</row>") | {"xl/sharedStrings.xml": shared("x" * 32_767)})


def text_shared_by_every_cell_and_hidden() -> bytes:
    cells = "".join(f"<c r=\"A{row}\" t='s'><v >+00</v></c>" for row in range(1, 5000))
    return zipped(xlsx_parts(f"<row>{cells}</row>") | {"xl/sharedStrings.xml": shared("x" * 32_767)})


def millions_of_shared_texts() -> bytes:
    return _with("xl/sharedStrings.xml", shared(*["x"] * 2 * MEGABYTE))


def text_without_end() -> bytes:
    return _with("xl/sharedStrings.xml", shared("x" * 35 * MEGABYTE))


def text_of_the_longest_kind() -> bytes:
    return _with(_SHEET, sheet(f'<row><c r="A1" t="inlineStr"><is><t>{"x" * 32_767}</t></is></c></row>'))


def long_texts_with_one_wide_sign_each() -> bytes:
    """Python keeps such a text in four bytes a sign."""
    text = f'<c t="inlineStr"><is><t>{"x" * 32_000}🏋</t></is></c>'
    return _with(_SHEET, sheet("".join(f"<row>{text}</row>" for _ in range(600))))


def many_numbers() -> bytes:
    letters = [chr(65 + number) for number in range(26)]
    rows = "".join(
        f'<row r="{row}">{"".join(f"""<c r="{letter}{row}"><v>{row}</v></c>""" for letter in letters)}</row>'
        for row in range(1, 5_001)
    )
    return zipped(xlsx_parts(rows))


def text_that_no_sheet_has() -> bytes:
    return zipped(xlsx_parts('<row><c r="A1" t="s"><v>99999999999</v></c><c r="B1" t="s"><v>-1</v></c></row>'))


def entities_that_grow() -> bytes:
    return _with(_SHEET, _EXPANSION + sheet('<row><c r="A1" t="str"><v>&b;</v></c></row>'))


def entities_from_elsewhere() -> bytes:
    return _with("xl/sharedStrings.xml", _ELSEWHERE + shared("&a;"))


def entities_in_the_properties() -> bytes:
    return _with("docProps/core.xml", _ELSEWHERE + "<x>&a;</x>")


def entities_in_sixteen_bits() -> bytes:
    text = f'<?xml version="1.0" encoding="UTF-16"?>{_EXPANSION}{sheet(_cell("A1")).partition("?>")[2]}'
    return _with(_SHEET, text.encode("utf-16"))


def elements_a_hundred_thousand_deep() -> bytes:
    return _with(_SHEET, sheet("<x>" * 100_000 + "</x>" * 100_000))


def properties_a_hundred_thousand_deep() -> bytes:
    return _with("docProps/core.xml", "<x>" * 100_000 + "</x>" * 100_000)


def a_tag_with_a_million_attributes() -> bytes:
    attributes = " ".join(f'a{number}=""' for number in range(MEGABYTE))
    return _with(_SHEET, sheet(f"<row><x:c {attributes}/></row>"))


def relations_in_a_circle() -> bytes:
    parts = xlsx_parts()
    parts["xl/_rels/workbook.xml.rels"] = relations({"r1": ("worksheet", "workbook.xml")})
    return zipped(parts | {"xl/worksheets/_rels/sheet1.xml.rels": relations({"r1": ("comments", "sheet1.xml")})})


def relations_that_climb_out() -> bytes:
    parts = xlsx_parts()
    target = "../../../../../../etc/hostname"
    parts["xl/_rels/workbook.xml.rels"] = relations({"r1": ("worksheet", target)})
    return zipped(parts)


def links_to_elsewhere() -> bytes:
    away = '<Relationship Id="x" Type="x/externalLinkPath" Target="http://192.0.2.1/x" TargetMode="External"/>'
    return zipped(
        xlsx_parts()
        | {
            "xl/worksheets/_rels/sheet1.xml.rels": relations({}, away),
            "xl/externalLinks/externalLink1.xml": "<x/>",
            "xl/connections.xml": "<x/>",
            "xl/queryTables/queryTable1.xml": "<x/>",
        }
    )


def the_same_part_twice() -> bytes:
    buffer = io.BytesIO(zipped(xlsx_parts()))
    with zipfile.ZipFile(buffer, "a") as archive:
        archive.writestr("XL/Worksheets/Sheet1.xml", sheet(_cell("A1", "99")))
    return buffer.getvalue()


def sheet_missing() -> bytes:
    return zipped({name: part for name, part in xlsx_parts().items() if name != _SHEET})


def shared_texts_missing() -> bytes:
    parts = xlsx_parts('<row><c r="A1" t="s"><v>0</v></c></row>')
    return zipped({name: part for name, part in parts.items() if "shared" not in name})


def wrong_content_types() -> bytes:
    return _with("[Content_Types].xml", '<Types xmlns="x"><Default Extension="xml" ContentType="image/png"/></Types>')


def numbers_that_are_none() -> bytes:
    values = ["NaN", "inf", "-inf", "1e308", "1e309", "-1e999", "9" * 400, "1e-400", "0x10", "", "½"]
    return zipped(xlsx_parts("".join(_cell(f"A{row}", value) for row, value in enumerate(values, 1))))


def dates_beyond_time() -> bytes:
    styles = (
        '<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><cellXfs><xf numFmtId="14"/>'
        '<xf numFmtId="46"/></cellXfs></styleSheet>'
    )
    cells = "".join(
        f'<row><c r="A{row}" s="{row % 2}"><v>{value}</v></c></row>'
        for row, value in enumerate(["1e300", "-1e300", "-1", "2958466", "1e18", "0", "60", "1e308"], 1)
    )
    return zipped(xlsx_parts(cells) | {"xl/styles.xml": styles})


def packed_another_way() -> bytes:
    return zipped(xlsx_parts(), zipfile.ZIP_LZMA)


def locked_entries() -> bytes:
    content = bytearray(zipped(xlsx_parts()))
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = content.find(mark)
        while at >= 0:
            content[at + offset] |= 1
            at = content.find(mark, at + 4)
    return bytes(content)


def document_of_a_million_rows() -> bytes:
    return zipped(ods_parts(row_of(number("1", 'table:number-columns-repeated="16384"'), repeated=1_048_576)))


def document_repeated_beyond_counting() -> bytes:
    return zipped(ods_parts(row_of(number("1", f'table:number-columns-repeated="{"9" * 30}"'))))


def document_of_many_wide_rows() -> bytes:
    rows = row_of(number("1", 'table:number-columns-repeated="250"'), repeated=4_900)
    tables = "".join(f'</table:table><table:table table:name="{i}">{rows}' for i in range(150))
    return zipped(ods_parts(tables))


def document_of_one_text_repeated() -> bytes:
    return zipped(ods_parts(row_of(words(f"<text:p>{'x' * 32_000}</text:p>"), repeated=4_900)))


def document_of_blanks() -> bytes:
    blanks = '<text:s text:c="999999999"/>' * 1_000
    return zipped(ods_parts(row_of(words(f"<text:p>{blanks}</text:p>"))))


def document_of_tables_in_tables() -> bytes:
    deep = "<table:table-cell><table:table><table:table-row>" * 200
    close = "</table:table-row></table:table></table:table-cell>" * 200
    return zipped(ods_parts(row_of(deep + close)))


def document_with_entities() -> bytes:
    parts = ods_parts(row_of(words("<text:p>&b;</text:p>")))
    head, _, body = str(parts["content.xml"]).partition("?>")
    return zipped(parts | {"content.xml": f"{head}?>{_EXPANSION}{body}"})


def rows_of_ours_by_the_thousand() -> bytes:
    """A block's own set and date, each some 4,000 times, no two alike."""
    with TemporaryDirectory() as folder:

        def repeat(book: Any) -> None:
            sheet = book["Week 1"]
            for key in ("w1.lower.date", "w1.lower.squat.1"):
                _, at = row_of_key(book, key)
                cells = [cell.value for cell in sheet[at]]
                for again in range(4_000):
                    sheet.append([again if value is not None and column == COLUMN["load"] else value
                                  for column, value in enumerate(cells)])  # fmt: skip

        return edited(clean_file(Path(folder)), repeat).read_bytes()


HOSTILE: dict[str, Callable[[], bytes]] = {
    make.__name__.replace("_", " "): make
    for make in (
        part_of_zeros, part_of_blanks, part_that_lies_about_its_size, parts_that_overlap,
        archive_in_archive_in_archive, archive_of_many_files, archive_of_bombs, archive_that_climbs_out,
        cell_at_the_far_corner, cell_in_row_two_to_the_31st, cell_in_no_column, rows_out_of_order,
        row_number_of_twenty_digits, cells_without_references, cells_two_hundred_thousand_columns_apart,
        a_million_empty_cells, every_second_sheet_a_wide_one, declared_size_of_the_whole_sheet,
        merged_cells_everywhere, text_shared_by_every_cell, text_shared_by_every_cell_and_hidden,
        millions_of_shared_texts, text_without_end, text_of_the_longest_kind,
        long_texts_with_one_wide_sign_each, many_numbers, text_that_no_sheet_has,
        entities_that_grow, entities_from_elsewhere, entities_in_the_properties, entities_in_sixteen_bits,
        elements_a_hundred_thousand_deep, properties_a_hundred_thousand_deep, a_tag_with_a_million_attributes,
        relations_in_a_circle, relations_that_climb_out, links_to_elsewhere, the_same_part_twice, sheet_missing,
        shared_texts_missing, wrong_content_types, numbers_that_are_none, dates_beyond_time, packed_another_way,
        locked_entries, document_of_a_million_rows, document_repeated_beyond_counting, document_of_many_wide_rows,
        document_of_one_text_repeated, document_of_blanks, document_of_tables_in_tables, document_with_entities,
        rows_of_ours_by_the_thousand,
    )
}  # fmt: skip
"""What is wrong with a file -> its content."""
