"""A snapshot has one shape and one set of bytes; anything else is refused by name."""

import hashlib
import json
import unicodedata

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.rendering import canonical, reading
from reports.rendering.reading import BadSnapshot
from tests.support import snapshots


@pytest.fixture
def plain():
    return snapshots.full()


def test_the_sample_is_read_and_comes_back_the_same(plain):
    raw = snapshots.canonical_bytes(plain)

    assert canonical.encode(reading.from_bytes(raw)) == raw


def test_a_snapshot_cannot_be_changed_once_read(plain):
    snapshot = reading.from_builtins(plain)

    with pytest.raises(AttributeError):
        snapshot.number = "R-2026-9999"


@pytest.mark.parametrize(
    ("path", "value", "named"),
    [
        (("number",), 141, "number"),
        (("schema",), 2, "schema"),
        (("issue",), 0, "issue"),
        (("issued_at",), "March 4", "issued_at"),
        (("firm", "logo"), "x", "logo"),
        (("people", "clients"), [], "clients"),
        (("findings", 3, "consequence", "key"), "severe", "findings[3].consequence"),
        (("findings", 3, "place_id"), "moon", "findings[4].place_id"),
        (("findings", 3, "number"), 9, "numbers must run"),
        (("findings", 3, "photos"), ["f99-1"], "findings[4].photos"),
        (("photos", 0, "kind"), "for_me", "photos"),
        (("photos", 0, "original_sha256"), "abc", "original_sha256"),
        (("photos", 1, "id"), "f01-1", "share the id"),
        (("panels", 0, "spaces", 0, "amps"), 900, "amps"),
        (("panels", 0, "spaces", 1, "number"), 1, "given twice"),
        (("panels", 0, "size"), 20, "above its 20 spaces"),
        (("front", "items"), ["f77"], "front.items"),
        (("chain", "prev"), "0", "prev"),
        (("cover_photo",), "none", "cover_photo"),
    ],
)
def test_a_wrong_part_is_refused_by_name(plain, path, value, named):
    inner = plain
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value

    with pytest.raises(BadSnapshot) as refusal:
        reading.from_builtins(plain)

    assert named in str(refusal.value)


@pytest.mark.parametrize("raw", [b"", b"{", b"[]", b'{"schema": 1}', b"\xff\xfe"])
def test_what_is_no_snapshot_is_refused(raw):
    with pytest.raises(BadSnapshot):
        reading.from_bytes(raw)


def test_letters_that_only_look_alike_are_refused_with_their_place(plain):
    plain["property"]["description"] = unicodedata.normalize("NFD", "Über dem Café")

    with pytest.raises(BadSnapshot, match=r"property\.description.*NFC"):
        snapshots.canonical_bytes(plain)


@pytest.mark.parametrize("value", [2**53, float("nan"), float("inf"), "\ud800"])
def test_what_the_standard_cannot_hold_is_refused(value):
    with pytest.raises(BadSnapshot):
        canonical.encode({"value": value})


def test_the_digest_is_that_of_the_bytes(plain):
    raw = snapshots.canonical_bytes(plain)

    assert canonical.digest(raw) == hashlib.sha256(raw).hexdigest()


# RFC 8785 section 3.2.3: members sorted by UTF-16 code units, as in its example; the
# last, U+FB33 there, is not NFC and gives its place to U+FF33.
RFC_ORDER = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\uff33"]


def test_members_stand_in_the_order_of_the_standards_example():
    raw = canonical.encode(dict.fromkeys(reversed(RFC_ORDER), "x"))

    assert list(json.loads(raw)) == RFC_ORDER


def plainly(value):
    """RFC 8785 once more, by hand, for what a snapshot holds: no fractions."""
    if isinstance(value, dict):
        keys = sorted(value, key=lambda key: key.encode("utf-16-be"))
        inner = ",".join(f"{plainly(key)}:{plainly(value[key])}" for key in keys)
        return f"{{{inner}}}"
    if isinstance(value, list):
        return f"[{','.join(map(plainly, value))}]"
    if isinstance(value, str):
        return f'"{"".join(map(letter, value))}"'
    return {None: "null", True: "true", False: "false"}.get(value) or str(value)


SHORT = {8: "\\b", 9: "\\t", 10: "\\n", 12: "\\f", 13: "\\r", 34: '\\"', 92: "\\\\"}


def letter(one):
    code = ord(one)
    return SHORT.get(code) or (f"\\u{code:04x}" if code < 32 else one)


whole = st.integers(min_value=2, max_value=2**53 - 1).map(lambda n: n - 2**52)
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=20).map(
    lambda text: unicodedata.normalize("NFC", text)
)
documents = st.dictionaries(
    words,
    st.recursive(
        st.none() | words | whole.filter(lambda n: n not in {0, 1}),
        lambda inner: (
            st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4)
        ),
        max_leaves=12,
    ),
    max_size=5,
)


@settings(max_examples=400, deadline=None, derandomize=True)
@given(documents)
def test_two_implementations_give_the_same_bytes(document):
    assert canonical.encode(document) == plainly(document).encode()


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.randoms(use_true_random=False))
def test_the_order_in_which_parts_were_put_does_not_matter(chance):
    plain = snapshots.full()
    keys = list(plain)
    chance.shuffle(keys)

    shuffled = {key: plain[key] for key in keys}

    assert canonical.encode(shuffled) == canonical.encode(plain)


def test_the_bytes_are_plain_json_to_any_reader(plain):
    raw = snapshots.canonical_bytes(plain)

    assert msgspec.json.decode(raw) == json.loads(raw)
    assert json.loads(raw)["findings"][0]["words"] == plain["findings"][0]["words"]
