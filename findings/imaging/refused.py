"""The one refusal of this package: a picture that cannot be used, and why."""


class Refused(Exception):
    """A picture or mark cannot be used; `reason` is a sentence for people."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason
