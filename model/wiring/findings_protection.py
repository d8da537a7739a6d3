"""What a careful friend would say about fuses: load <= fuse <= the weakest part, on every step of every path."""

from __future__ import annotations

from model.wiring.circuit import End, Protection
from model.wiring.contacts import derated_a
from model.wiring.findings_breaking import breaking_findings, made_for
from model.wiring.findings_contacts import holder_findings
from model.wiring.fuses import BLADE_START, families, family_named
from model.wiring.protection import (
    CONTINUOUS,
    ROUNDING_A,
    Exposure,
    Guard,
    devices,
    unprotected_limit_m,
)
from model.wiring.short_circuit import prospective
from model.wiring.wired import Wired
from model.wiring.wording import FIELD, amps, name_of, run_name, where_of
from model.working import Finding

FAULT_FACTOR, SLOW_FACTOR = 5.0, 2.0
"""A short circuit opens a fuse at once from about 5 times its rating. Below twice a blade may take a minute and more: it opens
within 0.15 to 5 s at 200 %, within half an hour at 135 % (ISO 8820-3, from memory, to be checked); the rest common practice."""


def protection_findings(one: Wired) -> list[Finding]:
    """Everything about protection, source by source and run by run."""
    found: list[Finding] = []
    for exposure in one.exposures:
        found += _exposed(one, exposure)
    for guard in one.guards:
        found += _weakest(one, guard)
    for index in one.shape.order:
        for end, device in devices(one.circuit.runs[index]):
            found += _device(one, index, end, device)
    return [*found, *_far_ends(one)]


def _exposed(one: Wired, exposure: Exposure) -> list[Finding]:
    """Conductor in front of the first fuse, seen from each source; none is needed where all bear what the source can give."""
    source = exposure.source
    passes_a = source.limited_a if source.limited_a is not None else source.backup_a
    if passes_a is not None and _bears(one, exposure, passes_a):
        return []
    before = f"; the fuse before that lets {source.backup_a:g} A pass" if source.backup_a is not None else ""
    if not exposure.protected:
        if _wanted(one, exposure):
            return []  # that no standard fuse fits is said with the run
        return [
            Finding(
                "danger",
                where_of(one, exposure.run, "protection" if source is one.circuit.source else "end_protection"),
                f"{one.circuit.name}: nothing protects the {exposure.metres:.2f} m of cable from the {source.kind}"
                f" at {source.point} to the end of the run {run_name(one.circuit.runs[exposure.run])}{before}.",
                f"A fuse at the {source.kind}, close to it."
                + (" A cable with a source at each end needs one at each end." if one.circuit.others else ""),
            )
        ]
    limit_m, rule = unprotected_limit_m(source, exposure.sheathed)
    bare_m, bare_rule = unprotected_limit_m(source, sheathed=False)
    if exposure.metres <= bare_m + 1e-9:
        return []
    where = where_of(one, exposure.run, "protection/distance_m" if source is one.circuit.source else "end_protection")
    first = f"{one.circuit.name}: the first fuse comes {exposure.metres:.2f} m after the {source.kind} at {source.point}{before}"
    if exposure.metres <= limit_m + 1e-9:
        without = f"Without a sheath all the way {bare_m:.2f} m are allowed ({bare_rule})"
        message = f"{first}. {without}, with one {limit_m:.2f} m."
        advice = "A fuse at the source: what chafes through in front of it burns until the cable is gone."
        return [Finding("warning", where, message, advice)]
    advice = (
        "A fuse at the source, and a sheath around what is left in front of it; a fuse at the other end does not help."
    )
    return [Finding("danger", where, f"{first}; {limit_m:.2f} m are allowed ({rule}).", advice)]


def _wanted(one: Wired, exposure: Exposure) -> bool:
    """Whether a fuse is planned on the exposed run at the source's end and only its rating is missing."""
    run = one.circuit.runs[exposure.run]
    return any(
        device.rating_a is None and (run.start if end == "start" else run.end) == exposure.source.point
        for end, device in devices(run)
    )


def _bears(one: Wired, exposure: Exposure, limited_a: float) -> bool:
    """Whether every run that nothing protects from the exposure's source bears `limited_a`."""
    return all(
        limited_a <= one.runs[guard.run].allowed_a + ROUNDING_A
        for guard in one.guards
        if guard.source == exposure.source and guard.rating_a is None
    )


def _weakest(one: Wired, guard: Guard) -> list[Finding]:
    """The fuse in front of a run against its conductor and its contacts."""
    found: list[Finding] = []
    run, sized = one.circuit.runs[guard.run], one.runs[guard.run]
    load_a = one.passing_a[guard.run]
    if sized.allowed_a <= 0:  # no ampacity at all: said with the insulation or the place
        return []
    if guard.rating_a is None or guard.device is None:
        too_thin = load_a > sized.allowed_a + ROUNDING_A and (sized.enough or sized.governs == "typed")
        if guard.source is one.circuit.source and too_thin:  # else said with the thickest conductor
            found.append(
                Finding(
                    "danger",
                    where_of(one, guard.run, "conductor"),
                    f"{name_of(one, guard.run)}: {sized.conductor.name} bears {amps(sized.allowed_a)} here;"
                    f" its load with 25 % reserve is {amps(load_a)}.",
                    "Thicker cable, or less on this circuit.",
                )
            )
        return found
    at = guard.device[0]
    past_thickest = not sized.enough and sized.governs == "ampacity"  # said with the conductor
    if guard.rating_a > sized.allowed_a + ROUNDING_A and not past_thickest:
        found.append(
            Finding(
                "danger",
                where_of(one, guard.run, "conductor"),
                f"{name_of(one, guard.run)}: {sized.conductor.name} bears {amps(sized.allowed_a)} here; the fuse in front of it"
                f" ({run_name(one.circuit.runs[at])}) lets {guard.rating_a:g} A pass.",
                _cures(load_a, one.passing_a[at], sized.allowed_a, f"a cable that bears {guard.rating_a:g} A"),
            )
        )
    current_a = one.lasting_a(guard.run) or 0.0
    for number, contact in enumerate(run.contacts):
        if current_a > contact.rating_a:
            continue  # said with the load
        if guard.rating_a > contact.rating_a + ROUNDING_A:
            found.append(
                Finding(
                    "danger",
                    where_of(one, guard.run, f"contacts/{number}/rating_a"),
                    f"{name_of(one, guard.run)}: {contact.name} is rated for {contact.rating_a:g} A; the fuse in front of it lets"
                    f" {guard.rating_a:g} A pass.",
                    _cures(load_a, one.passing_a[at], contact.rating_a, "a larger contact"),
                )
            )
        elif (
            guard.rating_a > (several_a := derated_a(contact)) + ROUNDING_A and load_a <= several_a
        ):  # else said with the load
            found.append(
                Finding(
                    "warning",
                    where_of(one, guard.run, f"contacts/{number}/loaded"),
                    f"{name_of(one, guard.run)}: the fuse in front of {contact.name} lets {guard.rating_a:g} A pass; with"
                    f" {contact.loaded} of {contact.poles} contacts loaded each bears about {amps(several_a)}.",
                    f"A fuse of {amps(several_a)} at most, fewer loaded contacts, or a larger connector.",
                )
            )
    return found


def _cures(load_a: float, there_a: float, bears_a: float, other: str) -> str:
    """What helps a part that bears less than the fuse in front lets pass: a smaller fuse, where the load in question allows it,
    here in front of the part (load_a) or there in the fuse's own place (there_a), or `other`."""
    if load_a > bears_a + ROUNDING_A:
        return (
            f"{other[0].upper()}{other[1:]}: its load with reserve is {amps(load_a)}, and no smaller fuse passes that."
        )
    where = "here or there" if there_a <= bears_a + ROUNDING_A else "of its own, here at its start"
    return f"A fuse of {amps(bears_a)} at most, {where}, or {other}."


def _device(one: Wired, index: int, end: End, device: Protection) -> list[Finding]:
    """One fuse against its load, its holder, its start, and the short circuit it may have to break."""
    where, name, load_a = where_of(one, index, FIELD[end]), name_of(one, index), one.passing_a[index]
    if device.family is not None and family_named(device.family) is None:
        return [
            Finding(
                "warning",
                f"{where}/family",
                f"{name}: there is no fuse family {device.family}; what it can break is not checked.",
                f"One of {', '.join(families())}, or type the maker's interrupting rating.",
            )
        ]
    if device.rating_a is None:
        return [
            Finding(
                "danger",
                f"{where}/rating_a",
                f"{name}: no standard fuse passes {amps(load_a)}"
                f"{f' in family {device.family}' if device.family else f' for {made_for(one)}'}.",
                "Another family, a breaker for direct current with its own rating typed, or several circuits.",
            )
        ]
    found = [*breaking_findings(one, index, end, device), *holder_findings(one, index, end, device)]
    lasting_a = one.lasting_a(index)
    running_a = load_a / CONTINUOUS if lasting_a is None else lasting_a
    if running_a > device.rating_a + ROUNDING_A:
        found.append(
            Finding(
                "danger",
                f"{where}/rating_a",
                f"{name}: {amps(running_a)} flow through a fuse of {device.rating_a:g} A.",
                "It will blow: a larger fuse with a cable that bears it, or less load.",
            )
        )
    elif load_a > device.rating_a + ROUNDING_A:
        found.append(
            Finding(
                "warning",
                f"{where}/rating_a",
                f"{name}: a fuse of {device.rating_a:g} A has less than 25 % above its lasting load; {amps(load_a)} would.",
                "A fuse near its rating runs hot and ages: take the next size with a cable that bears it.",
            )
        )
    start_a, family = one.starting_a[index], family_named(device.family)
    if start_a > (family.start_share if family is not None else BLADE_START) * device.rating_a + ROUNDING_A:
        found.append(
            Finding(
                "warning",
                f"{where}/rating_a",
                f"{name}: {amps(start_a)} flow while a load starts; a fuse of {device.rating_a:g} A may blow then.",
                "A slower fuse, or a larger one with a cable that bears it.",
            )
        )
    return found


def _far_ends(one: Wired) -> list[Finding]:
    """For each fuse the weakest short circuit that it must open: at the end of what it protects, warm and worn."""
    weakest: dict[tuple[int, End], tuple[float, int, float]] = {}
    for source in {guard.source: None for guard in one.guards}:
        if source.limited_a is not None:
            continue
        currents = prospective(one.circuit, one.shape, source)
        for guard in one.guards:
            if guard.source != source or guard.device is None or guard.rating_a is None:
                continue
            least_a = currents[guard.far].least_a
            if guard.device not in weakest or least_a < weakest[guard.device][0]:
                weakest[guard.device] = least_a, guard.far, guard.rating_a
    return [
        Finding(
            "warning" if least_a < SLOW_FACTOR * rating_a else "note",
            where_of(one, run, FIELD[end]),
            *_late(one, far, least_a, rating_a),
        )
        for (run, end), (least_a, far, rating_a) in weakest.items()
        if least_a < FAULT_FACTOR * rating_a
    ]


def _late(one: Wired, far: int, least_a: float, rating_a: float) -> tuple[str, str]:
    """Message and advice for a short circuit that does not open its fuse at once."""
    short = f"{one.circuit.name}: a short circuit at {one.shape.points[far]} draws {amps(least_a)}"
    advice = "Thicker or shorter cable, or a smaller fuse where the cable becomes thinner."
    if least_a <= rating_a:
        return f"{short}, which the fuse of {rating_a:g} A lets pass for ever: nobody notices what it heats.", advice
    times = f"{short}, {least_a / rating_a:.1f} times the fuse's {rating_a:g} A"
    if least_a < SLOW_FACTOR * rating_a:
        return f"{times}: it may take a minute or more to open, and the cable heats meanwhile.", advice
    return f"{times}: it opens, but not at once.", f"{advice} The maker's curve says how many seconds."
