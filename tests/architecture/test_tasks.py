"""Background work is named, keyword-only, on a known queue, and asked for by name."""

import ast
import inspect
from collections.abc import Callable, Iterator

import pytest

from firm.celery import app
from firm.jobs import QUEUES, REGISTRY
from tests.architecture.sources import APPS, modules, shown, tree_of

OURS = sorted(name for name in app.tasks if name.split(".")[0] in APPS)


def asked_for() -> Iterator[tuple[str, str]]:
    """Yield each name that some module enqueues, with where it does."""
    for path in modules(*APPS):
        tree = tree_of(path)
        constants = {
            ast.unparse(node.targets[0]): node.value
            for node in tree.body
            if isinstance(node, ast.Assign)
        }
        for call, asked in enqueued(tree):
            name = ast.literal_eval(constants.get(ast.unparse(asked), asked))
            assert isinstance(name, str)
            yield name, f"{shown(path)}:{call.lineno}"


def enqueued(tree: ast.Module) -> Iterator[tuple[ast.Call, ast.expr]]:
    """Yield each call that enqueues, with what it gives as the task."""
    for call in ast.walk(tree):
        if isinstance(call, ast.Call) and ast.unparse(call.func).endswith("enqueue"):
            yield from ((call, k.value) for k in call.keywords if k.arg == "task")


def assert_is_an_interface(name: str, function: Callable[..., object]) -> None:
    """A rolling deploy may bring arguments that this version does not know."""
    parameters = list(inspect.signature(function).parameters.values())
    assert name.split(".", maxsplit=1)[0] == function.__module__.split(".")[0]
    assert parameters, f"{name} must end with **_later"
    assert parameters[-1].kind is inspect.Parameter.VAR_KEYWORD, name
    for parameter in parameters[:-1]:
        assert parameter.kind is inspect.Parameter.KEYWORD_ONLY, f"{name}: {parameter}"


def test_there_is_background_work():
    assert OURS
    assert REGISTRY


@pytest.mark.parametrize("name", OURS)
def test_a_celery_task_is_an_interface(name):
    assert_is_an_interface(name, app.tasks[name].run)


def test_registered_work_is_an_interface():
    for name, work in REGISTRY.items():
        assert work.queue in QUEUES
        assert_is_an_interface(name, work.run)


def test_everything_enqueued_is_registered():
    unknown = [
        f"{where}: {name}" for name, where in asked_for() if name not in REGISTRY
    ]
    assert not unknown, "\n".join(unknown)


def test_all_registered_work_is_asked_for():
    assert set(REGISTRY) == {name for name, _ in asked_for()}


def test_the_clock_rings_for_known_tasks_on_known_queues():
    for entry in app.conf.beat_schedule.values():
        assert entry["task"] in app.tasks
        assert entry["options"]["queue"] in QUEUES
