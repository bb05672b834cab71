"""One table: what each role may do."""

from typing import Final

OWNER, SCHEDULER, REVIEWER, INSPECTOR, TRAINEE = (
    "OWNER",
    "SCHEDULER",
    "REVIEWER",
    "INSPECTOR",
    "TRAINEE",
)

ROLES_WITH: Final[dict[str, frozenset[str]]] = {
    # visits
    "visits.see_all": frozenset({OWNER, SCHEDULER, REVIEWER}),
    "visits.book": frozenset({OWNER, SCHEDULER}),
    "visits.see_contents": frozenset({OWNER, REVIEWER, INSPECTOR, TRAINEE}),
    "visits.see_all_contents": frozenset({OWNER, REVIEWER}),
    "visits.record": frozenset({INSPECTOR, TRAINEE}),
    "visits.hand_in": frozenset({INSPECTOR}),
    "visits.sign": frozenset({INSPECTOR}),
    "visits.stand_in": frozenset({OWNER, REVIEWER}),
    "visits.see_fee": frozenset({OWNER, SCHEDULER}),
    "visits.see_referral": frozenset({OWNER, SCHEDULER}),
    # words
    "words.review": frozenset({REVIEWER, OWNER}),
    "words.note": frozenset({REVIEWER, OWNER}),
    "review.decide": frozenset({OWNER}),
    # the library
    "passages.read": frozenset({OWNER, REVIEWER, INSPECTOR, TRAINEE}),
    "passages.write": frozenset({OWNER, REVIEWER, INSPECTOR}),
    "passages.approve": frozenset({OWNER, REVIEWER}),
    "words.tune": frozenset({OWNER}),
    # reports
    "reports.release": frozenset({REVIEWER, OWNER}),
    "reports.share": frozenset({REVIEWER, OWNER, SCHEDULER}),
    "reports.answer": frozenset({REVIEWER, OWNER}),
    "reports.take_back": frozenset({OWNER}),
    "reports.override": frozenset({OWNER}),
    "complaints.take": frozenset({REVIEWER, OWNER, SCHEDULER}),
    "papers.add": frozenset({REVIEWER, OWNER, SCHEDULER, INSPECTOR}),
    "reports.see_link_log": frozenset({REVIEWER, OWNER, SCHEDULER}),
    # the firm
    "rules.read": frozenset({OWNER, REVIEWER, INSPECTOR, TRAINEE}),
    "rules.check": frozenset({OWNER, REVIEWER}),
    "rules.decide": frozenset({OWNER}),
    "standards.read": frozenset({OWNER, REVIEWER, SCHEDULER, INSPECTOR, TRAINEE}),
    "standards.check": frozenset({OWNER, REVIEWER}),
    "standards.decide": frozenset({OWNER}),
    "visits.see_asks": frozenset({OWNER, SCHEDULER, REVIEWER}),
    "visits.hold": frozenset({OWNER}),
    "firm.decide": frozenset({OWNER}),
    "audit.read": frozenset({OWNER, REVIEWER}),
    "members.see": frozenset({OWNER, SCHEDULER, REVIEWER}),
}


def of(roles: frozenset[str]) -> frozenset[str]:
    """Return every capability that at least one of the roles has."""
    return frozenset(name for name, holders in ROLES_WITH.items() if holders & roles)
