"""Runs the main job once through HTTP and says where the PDF is: manage.py walkthrough."""

import time
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from firm.embedded.places import EmbeddedError
from reports.demo import performance, stage
from reports.demo.walk.pace import StepFailed


class Command(BaseCommand):
    help = "Start the application, run the main job once as its people, stop."

    def handle(self, *args: Any, **options: Any) -> None:
        begun = time.monotonic()
        stage.prepare()
        performance.load()
        try:
            with stage.running() as running:
                self.stdout.write(f"{time.monotonic() - begun:6.1f} s  Everything runs")
                party = performance.perform(running.address, self._say)
        except (StepFailed, EmbeddedError) as failed:
            raise CommandError(str(failed)) from failed
        self._say(f"\n{time.monotonic() - begun:6.1f} s in all")
        self._say(f"The report: {party.keep / 'report.pdf'}")

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
