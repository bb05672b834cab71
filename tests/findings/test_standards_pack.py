"""The packs as data: strict form, sources, bindings, and nothing that law words."""

import re
from pathlib import Path

import pytest
import yaml

from findings.rules.loader import ruleset
from findings.standards.loader import FIXTURES, PackError, codes, pack, read
from findings.wording.passages import library

NC = FIXTURES / "packs" / "nc.yaml"


def broken(tmp_path: Path, change) -> Path:
    data = yaml.load(NC.read_bytes(), Loader=yaml.CSafeLoader)
    change(data)
    path = tmp_path / "nc.yaml"
    path.write_text(yaml.dump(data, Dumper=yaml.CSafeDumper))
    return path


@pytest.mark.parametrize("code", codes())
def test_every_pack_loads(code):
    assert pack(code).pack == code


@pytest.mark.parametrize("code", ["", "ZZ", "../nc", "nc.yaml"])
def test_a_state_without_a_pack_is_a_key_error(code):
    with pytest.raises(KeyError):
        pack(code)


def test_an_unknown_key_is_refused_with_file_key_and_duty(tmp_path):
    path = broken(tmp_path, lambda d: d["duties"][7].update(colour="red"))

    with pytest.raises(PackError, match=r"nc\.yaml, line \d+: .*`colour`.*NC-SI-001"):
        read(path)


def test_a_wrong_source_is_refused(tmp_path):
    path = broken(tmp_path, lambda d: d["duties"][7].update(source="hearsay"))

    with pytest.raises(PackError, match="hearsay"):
        read(path)


def test_an_id_twice_is_refused(tmp_path):
    path = broken(tmp_path, lambda d: d["duties"].append(dict(d["duties"][7])))

    with pytest.raises(PackError, match="NC-SI-001: this id stands there twice"):
        read(path)


@pytest.mark.parametrize(
    ("duty", "change", "says"),
    [
        ("NC-EL-025", {"exception": True}, "only an inspect duty"),
        ("NC-EL-004", {"stops": []}, "belongs to no stop"),
        ("NC-EL-018", {"per": "house"}, "stop by stop"),
        ("NC-EL-019", {"exception": True}, "cannot close by exception"),
        ("NC-EL-025", {"stops": ["balcony"]}, "balcony"),
        (
            "NC-EL-027",
            {"answered_by": [{"record": "enclosure", "text": "{volts}"}]},
            "needs volts",
        ),
    ],
)
def test_bindings_that_contradict_are_refused(tmp_path, duty, change, says):
    def change_duty(data):
        next(d for d in data["duties"] if d["id"] == duty).update(change)

    with pytest.raises(PackError, match=says):
        read(broken(tmp_path, change_duty))


def test_north_carolina_has_every_duty_and_exclusion_with_its_source():
    # Counts of the project's own table of the rule's clauses (11 NCAC 08 .1103-.1115).
    nc = pack("NC")

    assert (len(nc.duties), len(nc.exclusions)) == (173, 58)
    assert sum(d.system == "electrical" for d in nc.duties) == 31
    assert all(d.section and d.source for d in (*nc.duties, *nc.exclusions))
    assert {e.id for e in nc.exclusions if e.source == "memory"} == {
        "NC-PL-031",
        "NC-PL-032",
    }


def test_the_text_of_a_notice_is_left_to_the_firm():
    assert [(n.text, n.version) for n in pack("NC").notices] == [("", 1)]


def test_absences_that_the_state_wants_reported_are_named_by_rule(tmp_path):
    def change(data):
        duty = next(d for d in data["duties"] if d["id"] == "NC-EL-024")
        duty |= {"as_deficient": True, "trigger": "if_absent", "rules": ["elec.x"]}

    assert pack("NC").absences() == {}
    assert read(broken(tmp_path, change)).absences() == {"elec.x": "NC-EL-024"}


def test_what_was_recalled_is_listed_for_the_firm_to_check():
    assert pack("NC").from_memory() == (
        "NC-PL-031",
        "NC-PL-032",
        "NC-S-02",
        "NC:retention",
        "NC:representative",
    )


@pytest.mark.parametrize("code", codes())
def test_only_looks_and_conditions_close_by_exception(code):
    closed = [d for d in pack(code).duties if d.exception]

    assert all(d.duty == "inspect" or d.condition for d in closed)


@pytest.mark.parametrize("code", codes())
def test_every_item_and_rule_a_duty_names_exists(code):
    known = set(ruleset().rules) | set(library())
    for duty in pack(code).duties:
        for key in (*duty.rules, *duty.any_year):
            assert any(one == key or one.startswith(key) for one in known), (
                duty.id,
                key,
            )


@pytest.mark.parametrize("code", codes())
def test_every_field_a_binding_names_is_in_the_vocabulary(code):
    kinds = yaml.safe_load((FIXTURES / "vocabulary/records.yaml").read_text())["kinds"]
    for duty in pack(code).duties:
        lines = [*duty.answered_by, *duty.present, *duty.requires, *duty.unless]
        lines += [*duty.must_report, *duty.arises]
        lines += [duty.tested] if duty.tested else []
        for line in lines:
            named = {*line.where, *getattr(line, "needs", ())}
            named |= set(getattr(line, "fields", ()))
            assert named <= set(kinds[line.record]), duty.id
        if duty.count:
            named = {f for where in duty.count.where for f in where}
            named |= {duty.count.tried, duty.count.seen, duty.count.unreachable}
            assert named - {""} <= set(kinds["stop"]), duty.id


def test_values_a_binding_wants_are_values_the_vocabulary_allows():
    kinds = yaml.safe_load((FIXTURES / "vocabulary/records.yaml").read_text())["kinds"]
    for duty in pack("NC").duties:
        for line in (*duty.answered_by, *duty.present, *duty.requires, *duty.unless):
            for field, want in line.where.items():
                form = kinds[line.record][field]
                if not form.startswith("choice(["):
                    continue
                allowed = set(re.findall(r'[\w/"]+', form.removeprefix("choice")))
                wanted = want if isinstance(want, list) else [want]
                assert {str(w) for w in wanted} <= allowed, (duty.id, field)
