"""Command line: python -m firm.embedded start|stop|status|env|run|prepare."""

import argparse
import sys

from firm.embedded import roles, servers
from firm.embedded.places import EmbeddedError, fresh_secret, instance
from firm.embedded.run import run
from firm.env import all_of, text


def main(arguments: list[str] | None = None) -> int:
    """Run one command; return the exit code."""
    asked = parser().parse_args(arguments)
    try:
        return carry_out(asked)
    except EmbeddedError as refusal:
        sys.stderr.write(f"{refusal}\n")
        return 1
    except KeyboardInterrupt:
        return 130


def carry_out(asked: argparse.Namespace) -> int:
    """Do what was asked; return the exit code."""
    place = instance(for_tests=asked.tests)
    match asked.command:
        case "start":
            servers.start(place)
        case "stop":
            servers.stop(place)
        case "env":
            say_environment(servers.start(place))
        case "run":
            return run(place, asked.program, all_of())
        case "prepare":
            prepare(asked.superuser_url)
        case "status":
            return say_status(servers.status(place))
    return 0


def parser() -> argparse.ArgumentParser:
    """Return the reader of this command's arguments."""
    reader = argparse.ArgumentParser(prog="python -m firm.embedded")
    reader.add_argument(
        "--tests", action="store_true", help="the fast, forgetful pair in var/tests/"
    )
    commands = reader.add_subparsers(dest="command", required=True)
    commands.add_parser("start", help="start what does not run yet")
    commands.add_parser("stop", help="stop both servers; the data stays")
    commands.add_parser("status", help="say which server runs")
    commands.add_parser("env", help="start, then print shell exports")
    run_command = commands.add_parser(
        "run", help="run a program beside the servers, then stop them"
    )
    run_command.add_argument("program", nargs=argparse.REMAINDER)
    prepare_command = commands.add_parser(
        "prepare", help="make roles and database on another PostgreSQL"
    )
    prepare_command.add_argument("superuser_url")
    return reader


def prepare(superuser_url: str) -> None:
    """Prepare another PostgreSQL; print how to reach it if we chose the passwords."""
    owner = text("FIRM_DB_OWNER_PASSWORD", "")
    app = text("FIRM_DB_APP_PASSWORD", "")
    passwords = roles.Passwords(owner or fresh_secret(), app or fresh_secret())
    roles.prepare(superuser_url, passwords)
    if owner and app:
        return
    say_environment(
        {
            "DATABASE_URL": roles.address(superuser_url, roles.APP, passwords.app),
            "DATABASE_OWNER_URL": roles.address(
                superuser_url, roles.OWNER, passwords.owner
            ),
        }
    )


def say_environment(variables: dict[str, str]) -> None:
    """Print the variables as exports for a shell."""
    for name, value in variables.items():
        sys.stdout.write(f"export {name}='{value}'\n")


def say_status(running: dict[str, bool]) -> int:
    """Print a line per server; return 0 only when both run."""
    for name, runs in running.items():
        sys.stdout.write(f"{name}: {'running' if runs else 'stopped'}\n")
    return 0 if all(running.values()) else 3


if __name__ == "__main__":
    sys.exit(main())
