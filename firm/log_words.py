"""Logs without secret addresses: what opens a door never stands in a line of ours."""

import logging
import re
from typing import Any

# The part of an address that opens a report or an agreement: 43 letters and figures.
SECRET = re.compile(r"(?<=/[rs]/)[\w-]{20,}")


class WithoutSecrets(logging.Filter):
    """Take the secret out of every address that a line or its values name."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg = _hidden(record.msg)
        if isinstance(record.args, tuple):
            record.args = tuple(_hidden(value) for value in record.args)
        elif record.args:
            record.args = {key: _hidden(value) for key, value in record.args.items()}
        return True


def _hidden(value: Any) -> Any:
    return SECRET.sub("…", value) if isinstance(value, str) else value
