"""Runs the main job once, says where the PDF is: manage.py walkthrough."""

import time
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from firm.embedded.places import EmbeddedError
from reports.demo import performance, stage
from reports.demo.walk.pace import StepFailed


class Command(BaseCommand):
    help = "Start the application, run the main job once as its people, stop."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            self._walk(time.monotonic())
        except (StepFailed, EmbeddedError) as failed:
            raise CommandError(str(failed)) from failed
        except KeyboardInterrupt:
            raise SystemExit(130) from None

    def _walk(self, begun: float) -> None:
        stage.prepare()
        performance.load()
        with (
            stage.running() as running,
            performance.party(running.address, running.supervisor.check) as people,
        ):
            self._say(f"{time.monotonic() - begun:6.1f} s  Web, worker and clock run")
            performance.perform(people, self._say)
        self._say(f"{time.monotonic() - begun:6.1f} s  in all")
        self._say(f"The report: {people.keep / 'report.pdf'}")

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
