"""The working of the other income: each source from its hours to energy a day, and their sum in every month."""

from __future__ import annotations

from model import names
from model.calendar import month_name
from model.supply.module_yield import charging_v
from model.supply.other_income_table import IncomeInput, OtherIncome, Source
from model.working import Step

STAGE = "supply"
SOURCE = "hours x current x voltage while charging; acceptance: common practice, no source"
RELAY = "supply.other.relay_share"


def steps(inputs: IncomeInput, answer: OtherIncome) -> tuple[Step, ...]:
    """One step for each source in the month looked at, and the sum, there and in every month."""
    found = [_one(inputs, source) for source in answer.sources]
    uses = tuple(step.key for step in found)
    found += [_an_hour(inputs, source) for source in answer.sources]
    found += [_relay(inputs)] * any(_by_relay(inputs, source) for source in answer.sources)
    found.append(_sum(inputs, answer, inputs.month, "supply.other_income_wh_per_day", uses))
    if answer.sources:
        found += [
            _sum(inputs, answer, month, f"supply.other_income_wh_per_day.{month}", _limits(inputs))
            for month in range(1, 13)
        ]
    return tuple(found)


def _one(inputs: IncomeInput, source: Source) -> Step:
    got = source.wh_per_day[inputs.month - 1]
    relay = _by_relay(inputs, source)
    current = f"{source.charger_a:g} A"
    if source.current_a < source.charger_a:
        current = f"{source.current_a:.3g} A (the battery takes no more of {source.charger_a:g} A)"
    formula = (
        f"{source.hours_per_week:g} h a week / 7 x {current} x {charging_v(inputs.system_v):.4g} V"
        f" x {source.share:.3g} {'through the relay and accepted' if relay else 'accepted'}"
    )
    if not inputs.takes_charge(inputs.month):
        formula = _refused(inputs, inputs.month)
    elif got < source.without_limits_wh_per_day * (1 - 1e-9):
        formula += f" = {source.without_limits_wh_per_day:.4g} Wh, more than the battery has room for"
    return Step(
        f"supply.other.{source.key}_wh_per_day",
        STAGE,
        f"Income a day in {month_name(inputs.month)}: {source.name}",
        formula,
        got,
        "Wh",
        SOURCE,
        (f"supply.other.{source.key}_ah_per_h", *_limits(inputs)),
    )


def _an_hour(inputs: IncomeInput, source: Source) -> Step:
    """What an hour of it charges: the charger's amperes are not what arrives."""
    relay = _by_relay(inputs, source)
    return Step(
        f"supply.other.{source.key}_ah_per_h",
        STAGE,
        f"An hour of it charges: {source.name}",
        f"{source.current_a:.3g} A x {source.share:.3g} {'through the relay and accepted' if relay else 'accepted'} x 1 h",
        source.ah_per_h,
        "Ah",
        SOURCE,
        (RELAY,) if relay else (),
    )


def _by_relay(inputs: IncomeInput, source: Source) -> bool:
    return source.key == "alternator" and inputs.alternator.kind == "relay"


def _relay(inputs: IncomeInput) -> Step:
    """How much of the current flows through a relay, by the voltage that is left."""
    formula = (
        f"({inputs.source_v:.3g} V - {inputs.drop_v:.3g} V in cables - {inputs.bank_v:.3g} V)"
        f" / ({inputs.full_v:.3g} V - {inputs.bank_v:.3g} V), 0 to 1"
    )
    if inputs.source_v < inputs.relay_opens_v:
        formula = f"nothing: at {inputs.source_v:.3g} V the relay lets go (below {inputs.relay_opens_v:.3g} V)"
    if inputs.alternator.vehicle_v != inputs.system_v:
        formula = f"nothing: a relay joins no {inputs.alternator.vehicle_v:g} V with {inputs.system_v:g} V"
    return Step(
        RELAY,
        STAGE,
        "Share of the current that a relay lets through",
        formula,
        inputs.link_share,
        "",
        "Ohm's law, own estimate; voltages of alternator and relay: common practice, no source",
    )


def _sum(inputs: IncomeInput, answer: OtherIncome, month: int, key: str, uses: tuple[str, ...]) -> Step:
    formula = " + ".join(f"{source.name} {source.wh_per_day[month - 1]:.4g} Wh" for source in answer.sources)
    if answer.sources and not inputs.takes_charge(month):
        formula = _refused(inputs, month)
    return Step(
        key,
        STAGE,
        f"{names.OTHER_INCOME.full} a day in {month_name(month)}",
        formula or "no driving, shore power or generator is counted",
        answer.wh_per_day[month - 1],
        "Wh",
        "sum of the sources, at the battery's terminals",
        uses,
    )


def _refused(inputs: IncomeInput, month: int) -> str:
    return (
        f"nothing: {inputs.chemistry} at {inputs.battery_temperature_c[month - 1]:.1f} °C takes no charge"
        f" ({inputs.charge_min_c:g} to {inputs.charge_max_c:g} °C)"
    )


def _limits(inputs: IncomeInput) -> tuple[str, ...]:
    return tuple(f"storage.{inputs.chemistry}.{figure}" for figure in ("charge_limit_a", "usable_wh"))
