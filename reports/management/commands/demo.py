"""Runs the main job once, then serves it: manage.py demo, ended by Ctrl-C."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from firm.embedded.places import EmbeddedError
from reports.demo import performance, stage
from reports.demo.walk.pace import StepFailed
from reports.demo.walk.party import Party
from reports.services.founding import SignIn


class Command(BaseCommand):
    help = "Start the application with the demo's firm and one finished visit."

    def handle(self, *args: Any, **options: Any) -> None:
        stage.prepare()
        signs = performance.load()
        try:
            self._serve(signs)
        except (StepFailed, EmbeddedError) as failed:
            raise CommandError(str(failed)) from failed
        except KeyboardInterrupt:
            self._say("\nEverything that was started is stopped.")

    def _serve(self, signs: list[SignIn]) -> None:
        with stage.running() as running:
            with performance.party(running.address, running.supervisor.check) as people:
                performance.perform_once(people, self._say)
            self._invite(signs, people)
            running.supervisor.watch()
        self._say("\nEverything that was started is stopped.")

    def _invite(self, signs: list[SignIn], people: Party) -> None:
        self._say(f"\nOpen {people.address}/sign-in/")
        self._say(f"Password of everybody: {people.password}")
        for person in signs:
            roles = ", ".join(role.lower() for role in person.roles)
            self._say(f"  {person.email:34} {person.name} ({roles})")
        self._say(f"The client's link: {people.address}{people.share}")
        self._say(f"Mail that was sent: {people.inbox.folder}")
        self._say("Ctrl-C stops everything.")

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
