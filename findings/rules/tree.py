"""The electrical system as a tree, from the meter down, and protection inherited."""

from dataclasses import dataclass, field

from findings.rules.bindings import CHILD_REACH_IN, View
from findings.rules.exact import parse

OUTBUILDING = ("detached", "outbuilding", "shed", "barn")
PROTECTING = ("gfci", "dual")


@dataclass
class Tree:
    """Enclosures with their parents, and contradictions that name two records."""

    view: View
    parent: dict[str, str] = field(default_factory=dict)
    spaces: dict[str, list[str]] = field(default_factory=dict)
    contradictions: list[tuple[str, str, str]] = field(default_factory=list)

    def role(self, enclosure: str) -> str | None:
        """Service or fed, from what was said or from what feeds it."""
        said = self.view.get(enclosure, "role")
        if said == "service_disconnect":
            return "service"
        if said == "fed_from_panel" or enclosure in self.parent:
            return "fed"
        return None

    def at_odds(self, enclosure: str) -> bool:
        """Whether it is in a loop, or one of two first shut-offs in a row."""
        return any(enclosure in pair[:2] for pair in self.contradictions)

    def detached(self, enclosure: str) -> bool:
        """Whether its place says that it stands in another building."""
        words = self.view.place(enclosure).lower()
        return any(word in words for word in OUTBUILDING)

    def done(self, enclosure: str | None) -> bool:
        """Whether its map was marked done."""
        return self.view.get(enclosure, "map_done") is True

    def supply_amps(self, enclosure: str) -> int | None:
        """Give the smallest known device ahead of or in an enclosure."""
        own = self.view.get(enclosure, "main_amps")
        ahead = self.view.get(self.view.get(enclosure, "fed_by_space"), "amps")
        known = [amps for amps in (own, ahead) if isinstance(amps, int)]
        return min(known) if known else None

    def feeds_only(self, enclosure: str) -> bool:
        """Whether its parent is the service and feeds nothing else."""
        parent = self.parent.get(enclosure)
        if parent is None or self.role(parent) != "service":
            return False
        others = [
            space
            for space in self.spaces.get(parent, [])
            if self.view.get(space, "space_kind") in ("breaker", "fuse", "pull_out")
            and space != self.view.get(enclosure, "fed_by_space")
        ]
        siblings = [child for child, up in self.parent.items() if up == parent]
        return not others and siblings == [enclosure]

    def movements(self, enclosure: str) -> int | None:
        """Movements of the hand that shut everything off at the service."""
        kind = self.view.get(enclosure, "main_kind")
        if kind in ("breaker", "fuses", "pull_out"):
            return 1
        if kind == "lugs_only":
            handles = [
                space
                for space in self.spaces.get(enclosure, [])
                if self.view.get(space, "space_kind") in ("breaker", "fuse", "pull_out")
            ]
            return len(handles)
        return None


def build(view: View) -> Tree:
    """Give the tree of a visit; a loop or two services in a row is a contradiction."""
    tree = Tree(view)
    for space in view.all("space"):
        enclosure = view.get(space, "enclosure")
        if enclosure:
            tree.spaces.setdefault(enclosure, []).append(space)
    for enclosure in view.all("enclosure"):
        ahead = view.get(enclosure, "fed_from") or view.get(
            view.get(enclosure, "fed_by_space"), "enclosure"
        )
        if ahead in view.folded and ahead != enclosure:
            tree.parent[enclosure] = ahead
    for enclosure in list(tree.parent):
        _look_up(tree, enclosure)
    return tree


def _look_up(tree: Tree, enclosure: str) -> None:
    seen, at = {enclosure}, tree.parent.get(enclosure)
    while at is not None:
        if at in seen:
            tree.contradictions.append(
                (enclosure, at, "each is said to feed the other")
            )
            del tree.parent[enclosure]
            return
        seen.add(at)
        at = tree.parent.get(at)
    ahead = tree.parent[enclosure]
    both = {tree.view.get(one, "role") for one in (enclosure, ahead)}
    if both == {"service_disconnect"}:
        words = "both are called the main shut-off though one feeds the other"
        tree.contradictions.append((enclosure, ahead, words))


def lamp_states(view: View, receptacle: str) -> dict[str, str] | None:
    """Give the three lamps as on or off, or None when nothing was tried."""
    lit = view.get(receptacle, "lamps")
    if not lit and view.get(receptacle, "lamps_none") is not True:
        return None
    names = {"NG": "neutral_ground", "HN": "hot_neutral", "HG": "hot_ground"}
    return {
        f"lamp_{pair}": "on" if name in (lit or []) else "off"
        for pair, name in names.items()
    }


def pattern(view: View, receptacle: str) -> str | None:
    """open_ground or correct, the two that a ground-fault test turns on."""
    states = lamp_states(view, receptacle)
    if states is None:
        return None
    lit = tuple(name for name, on in sorted(states.items()) if on == "on")
    return {("lamp_HG", "lamp_HN"): "correct", ("lamp_HN",): "open_ground"}.get(lit)


def protected(view: View, receptacle: str) -> bool | None:
    """Whether ground-fault protection covers a receptacle, by its own or from ahead."""
    if view.get(receptacle, "gfci_own_button_trips") == "no":
        return False
    if _trips(view, receptacle) or _guarded_from_ahead(view, receptacle):
        return True
    return False if view.get(receptacle, "gfci_kind") == "none" else None


def _trips(view: View, receptacle: str) -> bool:
    return "yes" in (
        view.get(receptacle, "gfci_own_button_trips"),
        view.get(receptacle, "gfci_tester_trips"),
    )


def _guarded_from_ahead(view: View, receptacle: str) -> bool:
    space = view.get(receptacle, "circuit_space")
    if view.get(space, "protection") in PROTECTING:
        return True
    ahead = view.get(receptacle, "protected_by")
    if ahead and _trips(view, ahead):
        return True
    others = view.died_with(receptacle)
    return any(other != receptacle and _trips(view, other) for other in others)


def contradictions(view: View) -> list[tuple[str, str, str]]:
    """Ground-fault tests that cannot both be true: (record, other, what)."""
    found = []
    receptacles = set(view.all("receptacle"))
    for one in view.all("receptacle"):
        if view.get(one, "gfci_kind") == "none" and _trips(view, one):
            found.append((one, one, "said to have no protection, yet it tripped"))
        known = set(view.get(one, "died_with") or []) - {one}
        for other in sorted(known & receptacles):
            if view.get(other, "gfci_kind") == "none":
                words = "went dead with another, yet is said to have no protection"
                found.append((other, one, words))
            if one < other and one in (view.get(other, "died_with") or []):
                words = "each is said to go dead with the other's own button"
                kinds = {view.get(r, "gfci_kind") for r in (one, other)}
                if kinds == {"device"}:
                    found.append((one, other, words))
    return found


def low(height: object) -> bool | None:
    """Whether a height in inches is within a small child's reach."""
    number = parse(height)
    return None if number is None else number <= CHILD_REACH_IN
