"""Where neutral and earth are joined in each state of supply, and whether two supplies or a charger's loop can meet.

The table is the builder's to check with a licensed person: rules differ by country, and nothing here approves anything.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.design import Generator, Inverter, Shore
from model.working import Finding

RULES = "NEC 551.54 and IEC 60364-7-721, from memory, to be checked against the code; rules differ by country"
POST, AT_INVERTER, AT_GENERATOR = "the shore's post", "the inverter", "the generator"
SHORE, INVERTER, GENERATOR = "on shore power", "on the inverter", "on the generator"
UNKNOWN = "not known"
LICENSED = "A licensed person measures it in each state of supply, and corrects it; rules differ by country."


@dataclass(frozen=True, slots=True)
class State:
    """One state of supply. joined_at: where neutral and earth are joined then, one place is right; known: whether everything that
    decides it is entered. decides: field of the design that decides first."""

    supply: str
    joined_at: tuple[str, ...]
    known: bool
    decides: str

    @property
    def words(self) -> str:
        """ "On shore power: joined at the shore's post, once." """
        head = self.supply.capitalize()
        if not self.known:
            return f"{head}: what is entered does not tell where neutral and earth are joined; once is right."
        if not self.joined_at:
            return f"{head}: neutral and earth are joined nowhere; a residual-current device does not open."
        if len(self.joined_at) == 1:
            return f"{head}: neutral and earth are joined at {self.joined_at[0]} and nowhere else."
        return f"{head}: neutral and earth are joined at {' and at '.join(self.joined_at)}: once too often."


def states(inverter: Inverter, shore: Shore, generator: Generator) -> tuple[State, ...]:
    """The states of supply that a design has. The post is taken to be joined by whoever runs it."""
    found: list[State] = []
    if shore.nights_per_week > 0:
        found.append(_beside(SHORE, (POST,), True, inverter, "inverter/bond"))
    if inverter.fitted:
        here = (AT_INVERTER,) if inverter.bond in ("switched", "fixed") else ()
        # whose neutral is joined to it from outside, and whether that has a bond at the moment, nobody said
        alone = inverter.changeover in ("own sockets", "both poles") or not _outside(shore, generator)
        found.append(
            State(
                INVERTER, here, inverter.bond != UNKNOWN and alone, "inverter/bond" if alone else "inverter/changeover"
            )
        )
    if generator.hours_per_week > 0:
        own = (AT_GENERATOR,) if generator.bond == "fixed" else ()
        found.append(_beside(GENERATOR, own, generator.bond != UNKNOWN, inverter, "generator/bond"))
    return tuple(found)


def _beside(supply: str, own: tuple[str, ...], known: bool, inverter: Inverter, decides: str) -> State:
    """A supply from outside: its own bond, and the inverter's where that stays in the same conductors."""
    if not inverter.fitted or inverter.changeover in ("own sockets", "both poles") or inverter.bond == "none":
        return State(supply, own, known, decides)
    if (
        inverter.bond == "switched"
    ):  # its relay opens only where this supply passes through the inverter, which nobody said
        return State(supply, own, False, "inverter/changeover")
    if inverter.bond == UNKNOWN or inverter.changeover == UNKNOWN:
        return State(supply, own, False, "inverter/bond" if inverter.bond == UNKNOWN else "inverter/changeover")
    return State(supply, (*own, AT_INVERTER), known, "inverter/changeover")


def _outside(shore: Shore, generator: Generator) -> list[str]:
    """The supplies from outside that the design has, in words."""
    there = (("shore power", shore.nights_per_week > 0), ("the generator", generator.hours_per_week > 0))
    return [name for name, used in there if used]


def bonding_findings(inverter: Inverter, shore: Shore, generator: Generator) -> list[Finding]:
    """What the table of states shows to be wrong, two supplies that can meet, and a charger on its own inverter."""
    outside = _outside(shore, generator)
    found = [*_counted(states(inverter, shore, generator))]
    if not inverter.fitted or not outside:
        return found
    both = " and ".join(outside)
    if inverter.changeover == "none":
        message = (
            f"{both.capitalize()} and the inverter feed the same sockets with nothing between them: two supplies meet."
        )
        advice = (
            "A transfer switch that parts both conductors, fitted by a licensed person, before anything is plugged in."
        )
        found.append(Finding("danger", "inverter/changeover", message, advice))
    if inverter.changeover == "one pole":
        message = (
            f"The changeover between {both} and the inverter parts one pole: their neutrals stay joined, and their bonds with"
            " them."
        )
        advice = "A changeover that parts both conductors; then each supply has its own bond and no other."
        found.append(Finding("warning", "inverter/changeover", message, f"{advice} {LICENSED}"))
    if shore.charger_on == "inverter":
        message = (
            "The charger is plugged into the inverter: the battery charges itself through both and is emptied by what they"
            " lose."
        )
        advice = (
            f"The charger on the inlet's side of the changeover, on a socket that the inverter never feeds. {LICENSED}"
        )
        found.append(Finding("warning", "shore/charger_on", message, advice))
    missing = [
        words
        for words, there in (
            ("the inverter's bond", inverter.bond == UNKNOWN),
            ("how they come to the sockets", inverter.changeover == UNKNOWN),
            ("what the charger is plugged into", shore.charger_on == UNKNOWN),
        )
        if there
    ]
    if missing:
        found.append(
            Finding(
                "note",
                "inverter/bond" if inverter.bond == UNKNOWN else "inverter/changeover",
                f"{both.capitalize()} and an inverter: exactly one bond of neutral and earth in each state, and the charger never"
                f" on its own inverter. Not entered: {', '.join(missing)}.",
                "Enter them. A transfer switch that parts both conductors, fitted by a licensed person; rules differ by country.",
            )
        )
    return found


def _counted(table: tuple[State, ...]) -> Iterator[Finding]:
    for one in table:
        if not one.known:
            continue
        if len(one.joined_at) > 1:
            why = "Part of the current then returns through earth, and residual-current devices open without a fault."
            yield Finding("danger", one.decides, f"{one.words} {why}", LICENSED)
        elif not one.joined_at:
            advice = "A small inverter with one double-insulated device is made to work so; sockets with earth want one bond."
            yield Finding("warning", one.decides, one.words, f"{advice} {LICENSED}")
