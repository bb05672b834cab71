"""The PDF says what the snapshot says, to eyes, to ears and to other programs."""

import io
import re

import pytest
from pypdf import PdfReader

from reports.rendering import canonical, child, pdf
from tests.support import reading_pdf, snapshots


@pytest.fixture(scope="module")
def plain():
    return snapshots.full()


@pytest.fixture(scope="module")
def assets(plain):
    return snapshots.assets(plain)


@pytest.fixture(scope="module")
def raw(plain):
    return snapshots.canonical_bytes(plain)


@pytest.fixture(scope="module")
def made(raw, assets):
    """Made once, in the limited child process, as a worker makes it."""
    return child.render(raw, assets)


@pytest.fixture(scope="module")
def text(made):
    return reading_pdf.words(made)


def squeezed(words):
    return re.sub(r"\s+", "", words)


def test_the_same_snapshot_gives_the_same_bytes_in_another_process(made, raw, assets):
    assert pdf.build(raw, assets) == made


def test_every_finding_is_told_in_full(plain, text):
    whole = squeezed(text)
    for finding in plain["findings"]:
        for part in (finding["sentence"], *finding["words"].values()):
            assert squeezed(part) in whole, finding["number"]


def test_each_photo_stands_in_it_with_a_number_and_its_own_bytes(made, plain, assets):
    shown = reading_pdf.pictures(made)
    expected = {
        assets[photo["renditions"]["print"]["sha256"]]
        for photo in plain["photos"]
        if photo["id"] != plain["cover_photo"]
    }

    assert expected <= shown
    assert len(shown) == len(plain["photos"]) + 1


def test_every_page_names_the_house_the_report_and_itself(made):
    told = reading_pdf.pages(made)
    for number, page in enumerate(told, 1):
        assert f"Page {number} of {len(told)}" in page
        assert "48 Quillwort Lane" in page
        assert "R-2026-0141, issue 1" in page


def test_the_contents_give_the_page_on_which_each_part_begins(made, plain):
    told = reading_pdf.pages(made)
    contents = " ".join(told[1].split())
    parts = [m for m in reading_pdf.bookmarks(made) if m.level == 1][1:]

    assert len(parts) == 20
    for part in parts:
        assert squeezed(part.words) in squeezed(told[part.page - 1])
        assert part.words in contents
    # The figures hang at the right edge and so are read as one column.
    assert contents.startswith(" ".join(str(part.page) for part in parts))


def test_the_contents_give_the_page_of_each_place_system_and_panel(made, plain):
    told = reading_pdf.pages(made)
    contents = " ".join(told[1].split())
    begins = {m.words: m.page for m in reading_pdf.bookmarks(made) if m.level == 2}
    names = [system["label"] for system in plain["systems"]]
    names += [panel["name"] for panel in plain["panels"]]
    for place in plain["places"]:
        where = ", ".join(part for part in (place["floor"], place["corner"]) if part)
        heading = f"{place['name']} {where}".strip()
        begins[place["name"]] = begins[heading]
        names.append(place["name"])

    for name in names:
        assert f"{name} {begins[name]}" in contents
        assert squeezed(name) in squeezed(told[begins[name] - 1])


def test_the_front_page_lists_the_packs_choice_with_pages(made, plain):
    marks = {mark.words: mark.page for mark in reading_pdf.bookmarks(made)}
    front = " ".join(reading_pdf.pages(made)[marks["Summary"] - 1].split())
    chosen = [f for f in plain["findings"] if f["in_front"]]

    for finding in chosen:
        assert finding["sentence"] in front
    opens = {m.words.split()[0]: m.page for m in reading_pdf.bookmarks(made)}
    for finding in chosen:
        number = str(finding["number"])
        assert f"page{opens[number]}{number}" in squeezed(front)


def test_it_is_tagged_for_those_who_listen(made):
    reader = PdfReader(io.BytesIO(made))
    tags = reading_pdf.tags(made)

    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.trailer["/Root"]["/Lang"] == "en-US"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"pdfuaid" in reader.trailer["/Root"]["/Metadata"].get_object().get_data()
    assert {"H1", "H2", "H3", "H4", "Table", "TH", "TD", "Figure", "L"} <= set(tags)
    assert tags["Figure"] >= 62 + 1 + 2
    assert reading_pdf.figures_without_words(made) == 0


def test_its_head_names_it_and_its_dates_are_those_of_the_release(made, raw):
    reader = PdfReader(io.BytesIO(made))

    assert reader.metadata.title.startswith("Report of March 4, 2026: 48 Quillwort")
    assert reader.metadata.author == "Stonecrop House Inspection"
    assert reader.metadata.creation_date.isoformat() == "2026-03-04T23:05:00+00:00"
    name = bytes(reader.trailer["/ID"][0].original_bytes)
    assert name == bytes.fromhex(canonical.digest(raw))[:16]


def test_it_carries_the_snapshot_it_was_made_from(made, raw):
    attached = PdfReader(io.BytesIO(made)).attachments

    assert attached["snapshot.json"] == [raw]


def test_no_link_in_it_leads_nowhere(made):
    assert reading_pdf.links_to_nowhere(made) == []


def test_the_panel_is_drawn_and_told_in_words(text, plain):
    assert "200 A breaker" in text
    for space in plain["panels"][0]["spaces"]:
        if space.get("label"):
            assert squeezed(space["label"]) in squeezed(text)
    assert text.count("Open: nothing fitted") == 4
    assert "9 and 11" in text


def test_it_says_who_looked_and_who_did_not_visit(text):
    assert "Ines Calloway, inspector, license NC-4417" in text
    assert "Rafael Oduya, who did not visit" in text


def test_what_was_not_seen_comes_with_what_can_be_done(text, plain):
    for place in plain["places"]:
        for limit in place["limits"]:
            for part in ("text", "reason", "what_you_can_do"):
                assert squeezed(limit[part]) in squeezed(text)


def test_it_defers_to_the_authority_and_can_be_checked(text, raw):
    assert "the authority that has jurisdiction there" in text
    assert "licensed trades" in text
    assert canonical.digest(raw) in squeezed(text)
    assert "/verify" in text


def test_no_section_of_a_code_is_told(text):
    assert not re.search(r"\b(NEC|IRC|NFPA|Section \d)", text)


def test_a4_is_a4(assets):
    raw = snapshots.canonical_bytes(snapshots.brief())

    box = PdfReader(io.BytesIO(pdf.build(raw, assets, paper="a4"))).pages[3].mediabox

    assert (round(box.width), round(box.height)) == (595, 842)


def test_a_correction_says_on_its_first_page_what_it_replaces(assets):
    plain = snapshots.brief()
    plain |= {"issue": 2, "issued_local": "March 6, 2026"}
    plain["replaces"] = {
        "issue": 1,
        "issued_local": "March 4, 2026",
        "reason": "The place of finding 3 was wrong.",
        "asked_by": "the client",
        "changes": ["Finding 3: right side in place of left side."],
    }

    first = reading_pdf.pages(pdf.build(snapshots.canonical_bytes(plain), assets))[0]

    told = " ".join(first.split())
    assert "Report of March 4, 2026, corrected March 6, 2026" in told
    assert "It replaces issue 1 of March 4, 2026" in told
    assert "The place of finding 3 was wrong." in told
    assert "Asked for by: the client" in told
