"""Reading a brief: what is refused, and in which words. No outside numbers here."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evenround.tables.brief import EXAMPLES, BriefError, example_brief, plan, read_brief
from evenround.tables.brief_starter import starter_text

GAUGE = 'gauge = { hdc = "16 x 12 / 10cm" }\n'
CROWN = '[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'
HAT = "head = 56\n" + GAUGE + CROWN


def complaint(text: str | bytes) -> str:
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(BriefError) as caught:
        read_brief(data, "brief.toml")
    assert isinstance(caught.value, ValueError)
    lines = str(caught.value).splitlines()
    assert all(line.startswith("brief.toml: ") for line in lines)
    return str(caught.value)


def one(text: str | bytes) -> str:
    message = complaint(text)
    assert "\n" not in message
    return message


def section(text: str) -> str:
    return HAT + "[[sections]]\n" + text


def test_a_plain_hat_reads() -> None:
    assert read_brief(HAT.encode(), "x").fields.head == 56


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "found nothing"),
        (b" \n\t\n", "found nothing"),
        (b"\xef\xbb\xbf", "found nothing"),
        (b"head = 56\n\xff", "not UTF-8 (byte 11)"),
        (b"head == 56", "not TOML: Invalid value (at line 1, column 7)"),
        (b"\x00\x01", "not TOML"),
        (b"a = " + b"9" * 5000, "not TOML"),
        (b"a = " + b"[" * 50_000, "nested too deep"),
        (b"a." * 50_000 + b"a = 1", "nested too deep"),
        (b"#" * 1_000_001, "found 1,000,001 bytes; a brief has at most 1,000,000"),
    ],
)
def test_files_that_are_no_brief(data: bytes, words: str) -> None:
    assert words in one(data)


def test_fifty_megabytes_are_refused_unread() -> None:
    assert "found 50,000,000 bytes" in one(bytes(50_000_000))


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ("hed = 57\n" + HAT, "hed", "did you mean head?"),
        (HAT + "repaet = 6", "sections.2.repaet (even)", "unknown key"),
        (section('kind = "band"\nrepeat = 6\nrepaet_width = 6'), "repaet_width", "repeat_width?"),
        ("tolerances = { flair = 3 }\n" + HAT, "tolerances.flair", "did you mean flare?"),
        ("prices = { nuge = 3 }\n" + HAT, "prices.nuge", "did you mean nudge?"),
        ("swatch = { hdc = { gram = 3, area = 1 } }\n" + HAT, "swatch.hdc.gram", "grams?"),
        ("swatch = { hcd = { grams = 3, area = 1 } }\n" + HAT, "swatch.hcd", "hdc?"),
    ],
)
def test_unknown_keys_get_the_nearest_right_one(text: str, field: str, words: str) -> None:
    message = complaint(text)
    assert field in message
    assert words in message


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("56", "-56", "head: found -56; a head is between 25 and 80 cm"),
        ("56", '"3 m"', "head: found '3 m'; a head is between 25 and 80 cm"),
        ("56", "nan", "head: found nan; a length is a finite number"),
        ("56", "-inf", "head: found -inf; a length is a finite number"),
        ("56", '"wide"', "head: found 'wide'; a length is a number with mm, cm"),
        ("56", "true", "head: found true; a length is a number with mm, cm"),
        ("56", "56\nease = 31", "ease: found 31; ease is between -20 and 30 cm"),
        ("56", "56\ndepth = 0", "depth: found 0; a depth is more than 0"),
        ("56", '56\ntitle = ""', "title: found nothing; a name is one line of text"),
        ("56", '56\nunit = "mm"', "unit: found 'mm'; one of 'cm' or 'in' would be right"),
        (
            "56",
            '56\nstitch = "htr"',
            "stitch: found 'htr'; htr is a UK word: write hdc, or terms =",
        ),
        ("16 x 12", "0 x 12", "gauge.hdc: found '0 x 12 / 10cm'; the stitches of a gauge are"),
        ("16 x 12 / 10cm", "16 x 12", "gauge.hdc: found '16 x 12'; say what it is over"),
        ("16 x 12", "16 sc x 12", "gauge.hdc: found '16 sc x 12 / 10cm'; it names sc"),
        ("hdc", "hcd", "gauge.hcd: unknown key; did you mean hdc?"),
        (GAUGE, "", "gauge: missing, and needed"),
        (GAUGE, "yarn_class = 0\n", "yarn_class: found 0; class 0 is counted in double crochet"),
        (GAUGE, "yarn_class = 7\n", "yarn_class: found 7; class 7 is published without a lower"),
        (GAUGE, "yarn_class = 8\n", "yarn_class: found 8; a yarn class is a whole number from 1"),
        (CROWN, "sections = []", "sections: found []; at least one is needed"),
        (CROWN, '[[sections]]\nkind = "hem"', "sections.1: kind: found 'hem'; a section's kind"),
        ('kind = "even"', "", "sections.2: kind: missing; a section's kind is crown, even"),
        ("56", "56\ncircumference = 60", "circumference: a circumference is said instead"),
        ("head = 56\n", "", "head: missing, and needed; a head or a circumference"),
        ("head = 56\n", "ease = 1\ncircumference = 60\n", "ease: found '1 cm'; ease goes with"),
        ("56", "25\nease = -20.0", "ease: 25 cm and ease -20 leave less than 15 cm around"),
        ("56", "56\nnudge = { share = 5 }", "nudge.share: found 5; a nudge is a share"),
        ("56", "56\nprices = { nudge = inf }", "prices.nudge: found inf; a price is"),
        ("56", "56\ntolerances = 3", "tolerances: found 3; a table would be right"),
        ("56", '56\nstart = "chain"', "start: found 'chain'; a crown is worked from a ring"),
    ],
)
def test_one_wrong_field_is_one_line(old: str, new: str, expected: str) -> None:
    assert HAT.count(old) == 1
    assert expected in one(HAT.replace(old, new))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('kind = "band"\nrepeat = 0', "repeat (band): found 0; a repeat is a whole number from 1"),
        ('kind = "band"\nrepeat = 10000', "repeat (band): found 10000; a repeat is a whole"),
        ('kind = "band"\nrepeat = nan', "repeat (band): found nan; a repeat is a whole number"),
        ('kind = "band"\nrepeat = 6.0', "repeat (band): found 6.0; a repeat is a whole number"),
        ('kind = "band"\nrepeat = "6 + 9"', "what comes after the + of a repeat is less"),
        ('kind = "band"', "repeat (band): a repeat, counts or a figure is needed"),
        ('kind = "band"\nfigure = "shel"', "figure (band): found 'shel'; did you mean shell?"),
        ('kind = "band"\nfigure = "shell"\nrepeat = 7', "found '7'; figure shell takes 6"),
        ('kind = "band"\nfigure = "shell"\nleaves = 6', "leaves (band): found 'shell'; leave it"),
        ('kind = "band"\nrepeat = 5\ncounts = [4, 6, 4]', "found '5'; the first of counts takes 4"),
        (
            'kind = "band"\nrounds = 5\ncounts = [4, 6, 4]',
            "rounds (band): found 5; the figure has 2 rounds: 4 or 6 would be whole",
        ),
        (
            'kind = "band"\nrounds = [5, 5]\ncounts = [4, 6, 6, 4]',
            "rounds (band): found 5; the figure has 3 rounds: 3 or 6 would be whole",
        ),
        (
            'kind = "band"\nrepeat = 6\nleaves = 5\nrounds = 2',
            "found 2; a figure that leaves another count than it takes is worked once: 1",
        ),
        ('kind = "band"\nfigure = "chain net"\nrounds = 2', "one number of rounds, 3 or more"),
        ('kind = "band"\nrepeat = 6\nrounds = 0', "rounds (band): found 0; a number of rounds"),
        ('kind = "band"\nrepeat = 6\ngive = 2', "give (band): found [2, 2]; the repeat has none"),
        ('kind = "band"\nrepeat = 6\nremainder = 6', "a remainder is less than the repeat, 6"),
        ('kind = "band"\nrepeat = 6\nmeasured_give = 1', "measured_give (band): found 1; how many"),
        ('kind = "band"\nrepeat = 6\ncircumference = 60', "a piece that is no hat: a head is said"),
        ('kind = "band"\nrepeat = 6\nrepeat_width = -1', "repeat_width (band): found -1; a length"),
        ('kind = "even"\nrounds = [8, 4]', "rounds (even): found [8, 4]; a number of rounds is"),
        ('kind = "brim"\nflare = 30', "width (brim): found a flare without width; say how wide"),
        ('kind = "brim"\nwidth = 6', "flare (brim): missing, and needed; degrees from straight"),
        ('kind = "brim"\nwidth = 6\nflare = 91', "flare (brim): found 91; a flare is from 0"),
        ('kind = "brim"\nwidth = 6\nfullness = 2.5', "fullness (brim): found 2.5; a brim's"),
        ('kind = "brim"\nwidth = 6\nflare = 80\nfullness = 1.1', "fullness exclude one another"),
        ('kind = "brim"\nwidth = 6\nflare = 30\nsectors = 20', "sector_range goes from 6 to 16"),
        (
            'kind = "brim"\nwidth = 6\nflare = 30\nrhythms = ["often"]',
            "rhythms are a list of:",
        ),
        ('kind = "crown"', "kind (crown): found 'crown'; there is one crown, and it comes first"),
        ('kind = "edging"\nrepeat = "3+t"', "found '3+t'; an edging has no give; leave out + t"),
        ('kind = "edging"\nfigure = "picot edge"\nrounds = 3', "worked once; its 1 rounds would"),
    ],
)
def test_one_wrong_field_of_a_section_is_one_line(text: str, expected: str) -> None:
    message = one(section(text))
    assert message.startswith("brief.toml: sections.3.")
    assert expected in message


def test_sections_in_an_order_that_cannot_be_worked() -> None:
    band = '[[sections]]\nkind = "band"\nrepeat = 6\n'
    edging = '[[sections]]\nkind = "edging"\nrepeat = 6\n'
    assert "nothing to work the band on" in one("head = 56\n" + GAUGE + band + CROWN)
    ring = one('head = 56\nstart = "ring"\n' + GAUGE + band)
    assert "there is nothing to work the band on: a crown first" in ring
    assert "nothing to work the edging on" in one("head = 56\n" + GAUGE + edging)
    assert "an edging is the last section" in one(HAT + edging + band)
    brim = '[[sections]]\nkind = "brim"\nwidth = 6\nflare = 30\n'
    assert "after the brim only an edging may come" in one(HAT + brim + band)


def test_sizes_that_contradict() -> None:
    body = GAUGE + CROWN
    twice = one('sizes = [{ name = "a", head = 50 }, { name = "A", head = 52 }]\n' + body)
    assert "sizes.2.name: found 'A'; each of the sizes has its own name" in twice
    assert "sizes.1.head: missing, and needed" in one('sizes = [{ name = "a" }]\n' + body)
    assert "sizes.1.nam: unknown key; did you mean name?" in complaint(
        "sizes = [{ nam = 1 }]\n" + body
    )
    brimless = one('sizes = [{ name = "a", head = 50, brim_width = 5 }]\n' + body)
    assert "sizes.1.brim_width: found 5.0; the piece has no brim" in brimless
    both = one('head = 50\nsizes = [{ name = "a", head = 50 }]\n' + body)
    assert "head: found 50.0; each of the sizes says its own head" in both


def test_a_disc_says_how_it_was_measured() -> None:
    def hat(disc: str) -> str:
        return HAT.replace('"16 x 12 / 10cm"', "{ rounds = 4, stitches = 40, " + disc + " }")

    cupped = complaint(hat("lies_flat = false"))
    assert "gauge.hdc.along: missing, and needed" in cupped
    assert "gauge.hdc.edge: missing, and needed" in cupped
    assert "gauge.hdc.across: missing, and needed" in one(hat("lies_flat = true"))
    assert "say lies_flat = false" in one(hat('across = "5in", along = "5in"'))
    assert "gauge.hdc.hole: found 13 cm; a hole is narrower" in one(
        hat('across = "5in", hole = 13')
    )
    assert "gauge.hdc.acros: unknown key; did you mean across?" in one(hat("acros = 3"))


def test_a_circumference_that_runs_wants_both_ends_and_two_sections() -> None:
    even = '[[sections]]\nkind = "even"\n'
    base = 'stitch = "hdc"\n' + GAUGE
    assert "circumference.to: missing" in one("circumference = { from = 60 }\n" + base + even)
    ends = "circumference = { from = 60, to = 68 }\n"
    assert "wants two or more" in one(ends + base + even)
    assert read_brief((ends + base + even + even).encode(), "x").sizes == ("one size",)


def test_all_faults_are_told_at_once() -> None:
    lines = complaint("hed = 1\nease = nan\n" + GAUGE + CROWN + "rounds = -1").splitlines()
    assert len(lines) == 3
    assert len(set(lines)) == 3


def test_a_file_of_nothing_but_faults_is_not_told_to_its_end() -> None:
    lines = complaint("".join(f"k{i} = 1\n" for i in range(5000)) + HAT).splitlines()
    assert len(lines) == 21
    assert lines[-1] == "brief.toml: and 4980 more"


def test_a_key_with_a_line_break_stays_on_one_line() -> None:
    assert "'a\\nb': unknown key" in one('"a\\nb" = 1\n' + HAT)


def test_examples_and_starter_read_and_plan_for_every_size() -> None:
    for name in EXAMPLES:
        brief = example_brief(name)
        for size in brief.sizes:
            made = plan(brief, size)
            assert made.size == size
            assert len(made.section_stitches) == len(made.piece.sections)
    assert plan(read_brief(starter_text().encode(), "starter")).assumptions == ()


def test_there_is_no_other_example() -> None:
    with pytest.raises(BriefError, match="garden, bucket, cowl"):
        example_brief("basket")


TOP_KEYS = ["title", "unit", "terms", "stitch", "start", "rounds", "gauge", "yarn_class", "head"]
MORE_KEYS = ["ease", "depth", "circumference", "sizes", "tolerances", "nudge", "prices", "swatch"]
SECTION_KEYS = ["sections", "kind", "name", "repeat", "counts", "figure", "width", "flare"]
KEYS = st.sampled_from([*TOP_KEYS, *MORE_KEYS, *SECTION_KEYS])
NUMBERS = ["1", "0", "-1", "nan", "inf", "1e400", "56", "0x" + "f" * 400, "true", "1979-05-27"]
TEXTS = ['""', '"6+t"', '"uk"', '"in"', '"hdc"', '"spiral"', '"band"', '"16 / 4in"', '"eyelet"']
NESTED = ["[]", "{}", "[1, 2]", '["8+t", "8+t"]', "{ hdc = 3 }", '{ hdc = "16 / 4in" }', "[{}]"]
SIZED = ["{ from = 1 }", "{ hdc = { rounds = 1 } }", '[{ name = "a", head = 50 }]']
SCALARS = st.sampled_from([*NUMBERS, *TEXTS, *NESTED, *SIZED])
LINES = st.one_of(
    st.builds("{} = {}".format, KEYS, SCALARS),
    st.sampled_from([f'[[sections]]\nkind = "{k}"' for k in ("crown", "even", "band", "brim")]),
    st.sampled_from(["[[sections]]", "[gauge]", "[[sizes]]", 'kind = "edging"', "["]),
)


@settings(deadline=None)
@given(st.lists(LINES, max_size=12).map("\n".join))
def test_whatever_is_written_only_a_brief_error_escapes(text: str) -> None:
    try:
        brief = read_brief(text.encode(), "brief.toml")
    except BriefError as error:
        assert str(error).startswith("brief.toml: ")
    else:
        assert plan(brief).piece.sections


@settings(deadline=None)
@given(st.binary(max_size=200))
def test_whatever_bytes_only_a_brief_error_escapes(data: bytes) -> None:
    with pytest.raises(BriefError):  # no 200 random bytes make a brief
        read_brief(data, "brief.toml")
