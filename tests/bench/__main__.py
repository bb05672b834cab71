"""Every bench, one after the other, each printing its figures."""

from __future__ import annotations

import os
import platform

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings_test")  # noqa: TID251
django.setup()

from tests.bench import field_client, rules_on_device, rules_on_server  # noqa: E402


def main() -> None:
    rules_on_server.main()
    rules_on_device.main()
    field_client.main()
    print(
        f"Python {platform.python_version()}, Django {django.__version__},"
        f" {platform.machine()}, {os.cpu_count()} cores"
    )


if __name__ == "__main__":
    main()
