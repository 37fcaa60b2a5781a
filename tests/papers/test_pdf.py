"""PDFs as they come out: readable whole, tagged, black, the same twice, codes that can be read back, hostile words as words."""

import re
import time

import pypdfium2
import pytest
import zxingcpp

from loamwright.errors import InputError
from loamwright.papers import catalogue, label_sheets
from loamwright.papers.document import (
    Caution,
    Code,
    Document,
    Drawing,
    Figure,
    Heading,
    Label,
    Labels,
    Lines,
    Order,
    PageBreak,
    PaperColumn,
    Picture,
    Points,
    Remark,
    Signatures,
    Step,
    Table,
    Words,
    as_text,
    texts,
)  # fmt: skip
from loamwright.papers.letters import MISSING, covered, drawable
from loamwright.papers.pdf import pdf

A4, LETTER = (595, 842), (612, 792)  # points: 210 × 297 mm, 8.5 × 11 in
COPIED = 100  # dots an inch, as a photocopier hands them on
HOSTILE = (
    "#read(\"/etc/passwd\")",
    "$ x^2 $ \\ #set page(width: 1pt)",
    "<b>bold</b> <script>alert(1)</script>",
    "*not strong* _not slanted_ `code` @ref [link]",
    "=HYPERLINK(\"x\")",
    "../../etc/passwd",
    "// comment /* other */ ]]} )",
)  # fmt: skip


def opened(data):
    return pypdfium2.PdfDocument(data)


def words_of(data):
    """All text of a PDF without spaces: where a line breaks is no matter of words."""
    text = "".join(page.get_textpage().get_text_range() for page in opened(data))
    return squeezed(text)


def squeezed(text):
    """Letters alone: pdfium gives the hyphens where lines break, and spaces by how far letters stand apart."""
    return re.sub(r"[\s\u00ad\u200b\ufffe\u202f\u00a0\x02]+", "", text)


def grey(page, dpi):
    return page.render(scale=dpi / 72).to_pil().convert("L")


def codes(data, dpi=COPIED):
    return [
        found.text
        for page in opened(data)
        for found in zxingcpp.read_barcodes(grey(page, dpi), formats=zxingcpp.BarcodeFormat.QRCode)
    ]


@pytest.mark.parametrize("name", list(catalogue.PAPERS))
@pytest.mark.parametrize("size", ["a4", "letter"])
def test_every_word_of_a_paper_is_on_its_pages(name, size, drawn):
    made, data = drawn(name, size)
    page = words_of(data)
    assert [text for text in texts(made) if squeezed(drawable(text)) not in page] == []
    assert len(texts(made)) > 3


@pytest.mark.parametrize("name", list(catalogue.PAPERS))
def test_a_paper_is_tagged_and_named(name, drawn):
    made, data = drawn(name)
    assert opened(data).is_tagged()
    assert b"/StructTreeRoot" in data and b"/Lang" in data
    assert b"pdfuaid:part>1<" in data
    assert opened(data).get_metadata_dict()["Title"] == made.title


@pytest.mark.parametrize("name", [name for name, paper in catalogue.PAPERS.items() if not paper.labels])
def test_papers_come_in_both_sizes(name, drawn):
    for size, (width, height) in (("a4", A4), ("letter", LETTER)):
        made, data = drawn(name, size)
        found = [round(each) for each in opened(data)[0].get_size()]
        assert found == ([height, width] if made.landscape else [width, height])


@pytest.mark.parametrize("name", list(catalogue.PAPERS))
def test_a_paper_is_black_and_nothing_else(name, drawn):
    """Drawn without smoothing every dot is ink or paper: no colour and no grey that a photocopier would lose."""
    bare = {"no_smoothtext": True, "no_smoothimage": True, "no_smoothpath": True}
    for page in opened(drawn(name)[1]):
        picture = page.render(scale=COPIED / 72, **bare).to_pil().convert("RGB")
        assert {colour for _, colour in picture.getcolors(maxcolors=1 << 24)} == {(0, 0, 0), (255, 255, 255)}


@pytest.mark.parametrize("name", list(catalogue.PAPERS))
def test_codes_are_read_back_from_a_photocopy(name, drawn):
    made, data = drawn(name)
    wanted = [made.code] if made.code else []
    wanted += [label.holds for part in made.parts if isinstance(part, Labels) for label in part.labels]
    assert sorted(codes(data)) == sorted(wanted)


@pytest.mark.parametrize("sheet", list(label_sheets.sheets()))
@pytest.mark.parametrize("name", ["block-marks", "pallet-labels"])
def test_labels_lie_on_their_sheet(name, sheet, drawn):
    """Every label stands inside its cell: the sizes are those of the sheet, the cells are counted from the top left."""
    made, data = drawn(name, sheet=sheet)
    grid, labels = made.parts[0].grid, made.parts[0].labels
    assert [round(each) for each in opened(data)[0].get_size()] == list(LETTER if grid.paper == "letter" else A4)
    each_page = grid.across * grid.down
    scale = 150 / 25.4
    for number, page in enumerate(opened(data)):
        found = {
            code.text: code.position for code in zxingcpp.read_barcodes(grey(page, 150), formats=zxingcpp.BarcodeFormat.QRCode)
        }
        on_page = labels[number * each_page : (number + 1) * each_page]
        assert set(found) == {label.holds for label in on_page}
        for place, label in enumerate(on_page):
            left = (grid.left + place % grid.across * (grid.width + grid.gap)) * scale
            top = (grid.top + place // grid.across * grid.height) * scale
            corners = (found[label.holds].top_left, found[label.holds].bottom_right)
            assert all(left <= corner.x <= left + grid.width * scale for corner in corners)
            assert all(top <= corner.y <= top + grid.height * scale for corner in corners)


@pytest.mark.parametrize("sheet", list(label_sheets.sheets()))
def test_a_sheet_of_labels_fits_its_paper(sheet):
    grid = label_sheets.grid(sheet)
    wide, high = (210.0, 297.0) if grid.paper == "a4" else (215.9, 279.4)
    assert 2 * grid.left + grid.across * grid.width + (grid.across - 1) * grid.gap <= wide + 0.2
    assert 2 * grid.top + grid.down * grid.height <= high + 0.2


def everything(words):
    """A paper that holds these words in every place a word can stand."""
    table = Table(
        words, (PaperColumn(words, words), PaperColumn(words, kind="number"), PaperColumn(words, kind="box")), ((words,) * 3,)
    )
    square = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1h7v7z"/></svg>'
    figure = Figure(words, words, words, (words,), (Step(words, words, words, words),), (words,))
    return Document(
        "every",
        words,
        words,
        (
            Heading(words), Lines(((words, words), (words, ""))), Words(words), Points((words,)), table, figure,
            Order(words, words, words, words), Picture(square, words, words, words), Drawing(square, words, 0.2), Remark(words),
            Caution(words), Code("urn:uuid:1", words), Signatures((words, words)), PageBreak(), Words(words, strong=True),
        ),
        (words,),
        "urn:uuid:2",
    )  # fmt: skip


@pytest.mark.parametrize("words", HOSTILE)
def test_words_are_words_whatever_they_say(words):
    made = everything(words)
    page = words_of(pdf(made))
    assert page.count(squeezed(words)) >= 25, "as many times as it stands on the paper"
    assert "root:" not in page


@pytest.mark.parametrize(
    ("words", "seen"),
    [
        ("Red \u202eyalc\u202c \u200fpit\x00\x1b[31m", "Red yalc pit[31m"),
        ("clay \U0001f9f1 \U0001f468\u200d\U0001f469\u200d\U0001f467", f"clay {MISSING}"),
        ("Глина Πηλός", "Глина Πηλός"),
        ("line one\nline two\ttab\u2028end", "line one line two tab end"),
        ("e\u0301\ud800", "e\u0301"),
    ],
    ids=["turned-writing", "pictures", "other-letters", "lines", "half-signs"],
)
def test_odd_signs_do_no_harm(words, seen):
    assert squeezed(seen) in words_of(pdf(everything(words))) or squeezed(seen).replace("e\u0301", "é") in words_of(
        pdf(everything(words))
    )


def test_a_sign_that_cannot_be_drawn_is_told_at_the_foot():
    told = "this is told"
    with_hole = Document("d", "Title", parts=(Words("pit \U0001f9f1"),))
    assert squeezed(told) in words_of(pdf(with_hole, missing=told))
    assert squeezed(told) not in words_of(pdf(Document("d", "Title", parts=(Words("pit"),)), missing=told))


def test_a_novel_is_cut_and_does_not_spill():
    made = everything("x" * 100_000)
    began = time.monotonic()
    data = pdf(made)
    assert time.monotonic() - began < 20
    assert "…" in words_of(data)
    assert 1 < len(opened(data)) < 12
    for page in opened(data):  # nothing stands outside the page
        width, _ = page.get_size()
        text = page.get_textpage()
        boxes = [text.get_charbox(i) for i in range(text.count_chars())]
        assert all(left >= 0 and right <= width + 1 for left, _, right, _ in boxes)


def test_right_to_left_words_stand_in_a_left_to_right_paper():
    made = Document("d", "طين أحمر", parts=(Lines((("Name", "שלום 12 kg"),)),))
    assert opened(pdf(made)).is_tagged()
    assert all(ord(sign) in covered() for sign in "طين أحمر שלום" if sign != " ")


def test_a_paper_may_be_right_to_left():
    made = Document("d", "عنوان", parts=(Words("كلمات"),), language="ar", direction="rtl")
    assert b"/Lang(ar)" in pdf(made).replace(b" ", b"")


@pytest.mark.parametrize("name", ["weigh-out", "block-marks", "crew-card", "official"])
def test_the_same_paper_has_the_same_bytes(name, drawn):
    made, data = drawn(name)
    assert pdf(made, missing="□ stands for a sign these letters lack; the notebook has it whole.") == data


def test_only_the_shipped_letters_are_used(drawn):
    fonts = set(re.findall(rb"/BaseFont ?/[A-Z]{6}\+([A-Za-z-]+)", drawn("mix-report")[1]))
    assert fonts and all(font.startswith((b"LoamText", b"DejaVuSans")) for font in fonts)


def test_what_the_fonts_can_draw_is_read_from_them():
    # Latin, Greek, Cyrillic, Arabic, Hebrew letters have a glyph; pictures and Devanagari have none in these fonts.
    assert {ord(sign) for sign in "azAZ09éßłčŠωЖא ع²³×−√□"} - covered() == set()
    assert not {ord(sign) for sign in "🧱नम"} & covered()


def test_another_size_is_refused():
    with pytest.raises(InputError) as refused:
        pdf(Document("d", "Title"), size="a9")
    assert refused.value.code == "unknown_choice"


def test_drawing_that_takes_too_long_is_stopped():
    with pytest.raises(InputError) as refused:
        pdf(Document("d", "Title"), seconds=0.001)
    assert refused.value.code == "paper_too_slow"


def test_drawing_that_fails_is_told():
    broken = Document("d", "Title", parts=(Drawing("<svg", "no drawing"),))
    with pytest.raises(InputError) as refused:
        pdf(broken)
    assert refused.value.code == "paper_not_made"


def test_a_label_with_a_long_name_keeps_to_its_cell():
    label = Label("12345", ("A very long name of a very long source " * 9,), "urn:uuid:3")
    data = pdf(Document("d", "Labels", parts=(Labels(label_sheets.grid("3x8-a4"), (label,) * 2),)))
    assert codes(data) == ["urn:uuid:3"] * 2
    assert as_text(Document("d", "Labels")) == "# Labels"
