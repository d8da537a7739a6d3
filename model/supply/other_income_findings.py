"""What a careful friend would say about driving, shore power and generator."""

from __future__ import annotations

from math import ceil

from model.calendar import write_months
from model.quantities import percent
from model.supply import other_income as formulas
from model.supply.array import FULL_V_PER_12_V
from model.supply.other_income_table import IncomeInput, OtherIncome, Source
from model.working import Finding

DAY_H = 24.0
HALF = 0.5  # charge from which a weekly full charge begins; common practice, no source


def findings(inputs: IncomeInput, answer: OtherIncome) -> tuple[Finding, ...]:
    """Everything about the sources in use; nothing where none is."""
    return (
        *_not_counted(inputs),
        *(_link(inputs) if inputs.alternator.fitted else ()),
        *(_alternator(inputs) if inputs.alternator.fitted else ()),
        *_all_chargers(inputs, answer),
        *_cold(inputs, answer),
        *_lead(inputs),
    )


def _not_counted(inputs: IncomeInput) -> list[Finding]:
    car = inputs.alternator
    if car.fitted or car.driving_hours_per_week <= 0:
        return []
    return [
        Finding(
            "note",
            "alternator/fitted",
            f"{car.driving_hours_per_week:g} hours of driving a week bring nothing: no charging while driving is fitted.",
            "Say yes there if a charger links the alternator to this battery.",
        )
    ]


def _link(inputs: IncomeInput) -> list[Finding]:
    car = inputs.alternator
    if car.kind != "relay":
        if not car.smart:
            return []
        return [
            Finding(
                "note",
                "alternator/smart",
                "The voltage of a smart alternator does not tell whether the engine runs.",
                "Give the DC-DC charger an engine-running signal (ignition or D+), not a voltage sensor.",
            )
        ]
    if car.vehicle_v != inputs.system_v:
        return [
            Finding(
                "danger",
                "alternator/kind",
                f"A relay joins the {car.vehicle_v:g} V of the vehicle to the {inputs.system_v:g} V of this battery.",
                "Between different voltages only a DC-DC charger will do.",
            )
        ]
    if car.smart:
        return [
            Finding(
                "warning",
                "alternator/kind",
                f"A smart alternator falls to {inputs.source_v:.3g} V, where a relay lets go: driving charges little or nothing.",
                "Take a DC-DC charger with an engine-running signal; or measure: 14.4 V after ten minutes of idling means an"
                " ordinary alternator.",
            )
        ]
    arriving_v = inputs.source_v - inputs.drop_v
    found = [
        Finding(
            "note",
            "alternator/kind",
            f"Through the relay {arriving_v:.3g} V arrive, {inputs.full_v:.3g} V fill the battery: on driving alone it never"
            " gets full.",
            "Thicker cables help a little, a DC-DC charger makes up for the loss.",
        )
    ]
    if not inputs.lead:
        found.append(
            Finding(
                "warning",
                "alternator/kind",
                f"Nothing limits what {inputs.chemistry} draws through a relay: it can take all that the alternator gives, at"
                " idle with little air to cool it.",
                "Take a DC-DC charger: its current is limited.",
            )
        )
    return found


def _alternator(inputs: IncomeInput) -> list[Finding]:
    """What the charger draws against what the alternator can spare, with the arithmetic."""
    car = inputs.alternator
    input_v = inputs.source_v - inputs.drop_v
    output_v = inputs.system_v / 12 * FULL_V_PER_12_V
    draws_a, how = car.charger_a, "through the relay"
    if car.kind != "relay":
        draws_a = formulas.charger_input_a(car.charger_a, output_v, car.efficiency, input_v)
        how = f"{car.charger_a:g} A x {output_v:.3g} V / ({percent(car.efficiency)} x {input_v:.3g} V)"
    if car.rating_a is None:
        return [
            Finding(
                "note",
                "alternator/rating_a",
                f"Charging takes {draws_a:.1f} A from the alternator ({how}); its rating is not given.",
                "Type the rating: about half of it lasts while hot, less what the vehicle draws itself.",
            )
        ]
    spare_a = formulas.spare_alternator_a(car.rating_a, car.vehicle_load_a)
    if draws_a <= spare_a:
        return _idling(car.rating_a, car.vehicle_load_a, draws_a)
    most_a = car.charger_a * spare_a / draws_a
    return [
        Finding(
            "danger" if draws_a + car.vehicle_load_a > car.rating_a else "warning",
            "alternator/charger_a",
            f"Charging takes {draws_a:.1f} A from the alternator ({how}); half of its {car.rating_a:g} A less"
            f" {car.vehicle_load_a:g} A for the vehicle leaves {spare_a:.1f} A.",
            f"Charge with at most {most_a:.0f} A, or fit a larger alternator; at idle it has the least air to cool it.",
        )
    ]


def _idling(rating_a: float, vehicle_load_a: float, draws_a: float) -> list[Finding]:
    """The engine at idle, where the alternator gives least and is cooled least."""
    idle_a = formulas.IDLE_SHARE * rating_a
    if vehicle_load_a + draws_a <= idle_a:
        return []
    return [
        Finding(
            "note",
            "alternator/rating_a",
            f"While the engine idles, an alternator of {rating_a:g} A gives about {idle_a:.0f} A: charging ({draws_a:.1f} A) and"
            f" the vehicle ({vehicle_load_a:g} A) take more, so that the starter battery helps.",
            "Do not charge by idling: drive, or have the charger begin above idle speed.",
        )
    ]


def _all_chargers(inputs: IncomeInput, answer: OtherIncome) -> list[Finding]:
    """All chargers at once against what the battery takes: the engine may idle beside the shore post in the sun."""
    total_a = inputs.solar_a + sum(source.charger_a for source in answer.sources)
    if not answer.sources or total_a <= inputs.charge_limit_a:
        return []
    largest = max(answer.sources, key=lambda source: source.charger_a)
    parts = [f"{source.name} {source.charger_a:.0f} A" for source in answer.sources]
    if inputs.solar_a > 0:
        parts.insert(0, f"sun {inputs.solar_a:.0f} A")
    return [
        Finding(
            "warning",
            f"{largest.key}/charger_a",
            f"All chargers at once give {total_a:.0f} A ({', '.join(parts)}); {inputs.installed_ah:g} Ah of"
            f" {inputs.chemistry} take {inputs.charge_limit_a:.0f} A for long.",
            "Set the chargers' limits so that their sum stays below, or take a larger battery.",
        )
    ]


def _cold(inputs: IncomeInput, answer: OtherIncome) -> list[Finding]:
    lost = [month for month in sorted(inputs.months_of_use) if not inputs.takes_charge(month)]
    most_wh = sum(source.without_limits_wh_per_day for source in answer.sources)
    if not lost or most_wh <= 0:
        return []
    return [
        Finding(
            "note",
            "battery/place",
            f"Where it stands {inputs.chemistry} takes no charge in {write_months(lost)}: nothing comes"
            f" from {names(answer.sources)} then, {most_wh:.0f} Wh a day otherwise.",
            "Put it in the heated cabin, or heat it with the charger's first energy.",
        )
    ]


def _lead(inputs: IncomeInput) -> list[Finding]:
    shore = inputs.shore
    if not inputs.lead or shore.nights_per_week <= 0 or shore.charger_a <= 0:
        return []
    charger_a = min(shore.charger_a, inputs.charge_limit_a)
    full_h = formulas.full_charge_h(inputs.installed_ah, charger_a, HALF)
    if shore.hours_per_night >= full_h:
        return []
    takes = f"{full_h:.1f} h, nearly half of it at absorption voltage" if full_h < DAY_H else "more than a day"
    return [
        Finding(
            "note",
            "shore/hours_per_night",
            f"{shore.hours_per_night:g} hours on shore power do not make {inputs.chemistry} really full: from half full"
            f" {charger_a:g} A take {takes}.",
            f"Once a week stay plugged in for {ceil(full_h)} hours or more."
            if full_h < DAY_H
            else "Take a larger charger.",
        )
    ]


def names(sources: tuple[Source, ...]) -> str:
    """ "driving", "driving and shore power", "driving, shore power and generator"."""
    *rest, last = (source.name for source in sources)
    return f"{', '.join(rest)} and {last}" if rest else last
