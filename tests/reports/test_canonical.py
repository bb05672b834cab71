"""EV-04: three implementations give the same canonical bytes.

rfc8785 seals and hashes here; the outsider's check.py brings its own; JavaScript, whose
numbers and strings RFC 8785 took over, is the outside judge of both.
"""

import json
import subprocess
from pathlib import Path

import playwright
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from firm import canonical
from reports.services.evidence import check

ROOT = Path(__file__).resolve().parents[2]
NODE = Path(playwright.__file__).parent / "driver" / "node"
DOCUMENTS = 10_000

text = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
whole = st.integers(-(2**53) + 1, 2**53 - 1)
real = st.floats(allow_nan=False, allow_infinity=False)
documents = st.recursive(
    st.none() | st.booleans() | whole | real | text,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(text, inner, max_size=4)
    ),
    max_leaves=8,
)


def test_ev_04_three_implementations_agree_on_ten_thousand_documents():
    """EV-04: the library, the outsider's check, and JavaScript."""
    seen: list[object] = []

    @settings(
        max_examples=DOCUMENTS,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(documents)
    def gather(value):
        seen.append(value)

    gather()
    lines = "".join(json.dumps(value) + "\n" for value in seen)
    done = subprocess.run(
        [NODE, ROOT / "tests/support/canonical.mjs"],
        input=lines,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    theirs = [json.loads(line) for line in done.stdout.rstrip("\n").split("\n")]
    assert len(theirs) == len(seen) >= DOCUMENTS
    for value, javascript in zip(seen, theirs, strict=True):
        ours = canonical.encode(value)
        assert check.canonical(value).encode() == ours
        assert javascript.encode() == ours


@pytest.mark.parametrize(
    ("value", "form"),
    [
        (1e21, "1e+21"),
        (1e20, "100000000000000000000"),
        (1e-6, "0.000001"),
        (1e-7, "1e-7"),
        (5e-324, "5e-324"),
        (-0.0, "0"),
        (333333333.33333329, "333333333.3333333"),
        (9007199254740991, "9007199254740991"),
        ({"\ufb33": 1, "\U0001f600": 2, "é": 3}, '{"é":3,"😀":2,"\ufb33":1}'),
        ("\u0007\b\x7f</€", '"\\u0007\\b\x7f</€"'),
    ],
)
def test_the_forms_that_rfc_8785_shows(value, form):
    """Source: RFC 8785, sections 3.2.2, 3.2.3 and appendix B."""
    assert check.canonical(value) == form
    assert canonical.encode(value).decode() == form


@pytest.mark.parametrize("value", [2**53, float("nan"), float("inf")])
def test_what_it_cannot_hold_is_refused(value):
    with pytest.raises(check.Wrong):
        check.canonical(value)
