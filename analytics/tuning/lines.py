"""Where a candidate draws its lines: for all classes, and for those with lines of their own."""

from __future__ import annotations

from dataclasses import dataclass

from analytics.policy import TUNED, OwnLine, Policy

Four = tuple[float, float, float, float]
"""The lines of `TUNED`, in its order: chance, heat ratio [1], lift [K], load of rating [1]."""


@dataclass(frozen=True)
class Lines:
    """The four lines of all classes, and all four of each class that has others of its own."""

    shared: Four
    own: tuple[tuple[str, Four], ...] = ()

    @classmethod
    def of(cls, policy: Policy) -> Lines:
        """Return those of a policy."""
        shared = _four(policy.lines_for(""))
        each = [(name, _four(policy.lines_for(name))) for name in policy.own_classes]
        return cls(shared, tuple(one for one in each if one[1] != shared))

    @property
    def own_lines(self) -> tuple[OwnLine, ...]:
        """The own lines as a policy writes them: what is as for all classes is left out."""
        return tuple(
            (name, key, value)
            for name, four in self.own
            for key, value, usual in sorted(zip(TUNED, four, self.shared, strict=True))
            if value != usual
        )

    def of_class(self, name: str) -> Four:
        """Return the four lines that a class is judged by."""
        return dict(self.own).get(name, self.shared)

    def with_class(self, name: str, four: Four) -> Lines:
        """Return them with a class's own lines put in."""
        own = {**dict(self.own), name: four}
        return Lines(
            self.shared, tuple(sorted(one for one in own.items() if one[1] != self.shared))
        )

    def put_into(self, policy: Policy) -> Policy:
        """Return the policy with these lines in place of its own."""
        named = {f"flag_{key}": one for key, one in zip(TUNED, self.shared, strict=True)}
        return policy.moved(**named).with_own(self.own_lines)


def _four(lines: dict[str, float]) -> Four:
    chance, ratio, lift, load = (lines[key] for key in TUNED)
    return chance, ratio, lift, load
