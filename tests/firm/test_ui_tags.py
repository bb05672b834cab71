"""The template tags: fields tied to their errors, local times, visible differences."""

from datetime import UTC, datetime

from django import forms
from django.template import Context, Template

from firm.templatetags.ui import (
    counted,
    difference_pieces,
    joined,
    local_moment,
    local_time,
)


class Sample(forms.Form):
    amps = forms.IntegerField(label="Rating", help_text="From its handle")
    kind = forms.ChoiceField(
        label="Kind",
        choices=[("a", "breaker"), ("b", "fuse")],
        widget=forms.RadioSelect,
    )


def shown(form: forms.Form, name: str, look: str = "") -> str:
    page = Template("{% load ui %}{% field bound look=look %}")
    return page.render(Context({"bound": form[name], "look": look}))


def test_a_field_in_error_names_its_help_and_error_to_a_screen_reader() -> None:
    html = shown(Sample({"amps": "many"}), "amps")

    assert 'aria-describedby="id_amps_help id_amps_error"' in html
    assert 'aria-invalid="true"' in html
    assert 'id="id_amps_error"' in html
    assert 'value="many"' in html


def test_a_choice_is_a_group_with_every_radio_labelled() -> None:
    html = shown(Sample({"kind": "b"}), "kind")

    assert html.count("<fieldset") == 1
    assert html.count('type="radio"') == 2
    assert 'for="id_kind_1"' in html
    assert 'value="b" id="id_kind_1" checked' in html


def test_what_was_typed_is_escaped() -> None:
    html = shown(Sample({"amps": "<b>9</b>"}), "amps")

    assert "<b>9</b>" not in html


def test_a_moment_is_shown_by_the_clock_of_the_property() -> None:
    moment = datetime(2026, 3, 8, 6, 30, tzinfo=UTC)

    assert local_time(moment, "America/New_York") == "1:30 am"
    assert local_moment(moment, "America/Chicago") == "Sun 8 March 2026, 12:30 am"
    assert local_time(datetime(2026, 7, 1, 16, 0, tzinfo=UTC), "America/New_York") == (
        "12:00 pm"
    )


def test_words_join_as_in_a_sentence() -> None:
    assert joined([]) == ""
    assert joined(["one"]) == "one"
    assert joined(["one", "two", "three"]) == "one, two and three"


def test_a_number_takes_its_noun() -> None:
    assert counted(1, "open line,open lines") == "1 open line"
    assert counted(3, "open line,open lines") == "3 open lines"
    assert counted(0, "open line,open lines,nothing open") == "nothing open"


def test_a_difference_gives_back_both_texts() -> None:
    before = "The receptacle left of the window is deadly."
    now = "The receptacle left of the kitchen window can shock a person."

    pieces = difference_pieces(before, now)

    kept = " ".join(p.text.strip() for p in pieces if p.kind != "added")
    new = " ".join(p.text.strip() for p in pieces if p.kind != "taken")
    assert kept.split() == before.split()
    assert new.split() == now.split()
    assert {p.kind for p in pieces} == {"same", "added", "taken"}


def test_a_lone_word_between_two_changes_joins_them() -> None:
    pieces = difference_pieces("old is gone", "new is here")

    assert [p.kind for p in pieces if p.text.strip()] == ["taken", "added"]
