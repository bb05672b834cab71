"""The strict reading of what a rule file says it reads from the visit."""

from typing import TYPE_CHECKING, Any

from findings.rules.binds import FROM_RECORD, SOURCES, VISIT_NAMES, Binds, Source
from findings.rules.inputs import InputSpec
from findings.rules.yamlfile import Mapping

if TYPE_CHECKING:
    from findings.rules.schema import Reader

BINDS_KEYS = ("record", "where", "item", "inputs", "asks")


def binds(
    reader: "Reader", where: Mapping, specs: dict[str, InputSpec]
) -> Binds | None:
    """Give a rule's binds, or None where it has none. Raises RuleFileError."""
    if "binds" not in where:
        return None
    raw = reader.known_keys(where["binds"], BINDS_KEYS, "binds", where)
    record = reader.word(raw, "record")
    if not record:
        raise reader.fail(raw, "record", "names no kind of record")
    found = {}
    given = raw.get("inputs", Mapping())
    for name in reader.known_keys(given, given, "inputs", raw):
        if name not in specs:
            raise reader.fail(given, name, "is not an input of this rule")
        found[name] = _source(reader, given, name)
    asks = frozenset(reader.words(raw, "asks"))
    for name in sorted(asks - set(found)):
        raise reader.fail(raw, "asks", f"{name!r} is not read from anywhere")
    return Binds(
        record=record,
        item=reader.word(raw, "item") or record,
        where=_among(reader, raw),
        inputs=found,
        asks=asks,
    )


def _among(reader: "Reader", raw: Mapping) -> dict[str, tuple[str, ...]]:
    where = raw.get("where", Mapping())
    named = reader.known_keys(where, where, "where", raw)
    return {name: reader.words(named, name) for name in named}


def _source(reader: "Reader", given: Mapping, name: str) -> Source:
    raw: Any = given[name]
    if isinstance(raw, str):
        return Source(FROM_RECORD, raw)
    inner = reader.known_keys(raw, (*SOURCES, "words"), name, given)
    kinds = [kind for kind in SOURCES if kind in inner]
    if len(kinds) != 1:
        raise reader.fail(given, name, f"is read from one of {', '.join(SOURCES)}")
    kind = kinds[0]
    if isinstance(inner[kind], list | dict) or (kind != "value" and not inner[kind]):
        raise reader.fail(inner, kind, "names one thing")
    if kind == "visit" and inner[kind] not in VISIT_NAMES:
        listed = ", ".join(sorted(VISIT_NAMES))
        raise reader.fail(inner, kind, f"is one of {listed}")
    return Source(kind, inner[kind], _words(reader, inner))


def _words(reader: "Reader", inner: Mapping) -> dict[str, Any] | None:
    words = inner.get("words")
    if words is None:
        return None
    for word in reader.known_keys(words, words, "words", inner):
        if isinstance(words[word], list | dict):
            raise reader.fail(words, word, "stands for one plain value")
    return dict(words)
