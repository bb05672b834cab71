"""Every module opens with one line that says what lives there."""

import ast

from tests.architecture.sources import APPS, modules, shown, tree_of


def test_every_module_says_what_lives_there():
    silent = [
        shown(path)
        for path in modules(*APPS, "tests")
        if "migrations" not in path.parts
        and path.read_text().strip()
        and not ast.get_docstring(tree_of(path))
    ]
    assert not silent, "no docstring on the first line:\n" + "\n".join(silent)


def test_the_first_line_stands_alone():
    running_on = [
        shown(path)
        for path in modules(*APPS, "tests")
        if (words := ast.get_docstring(tree_of(path)))
        and not (
            words.splitlines()[0].endswith((".", "?", ":"))
            and [*words.splitlines(), "", ""][1] == ""
        )
    ]
    assert not running_on, (
        "the first line is one sentence, a blank line after it:\n"
        + "\n".join(running_on)
    )
