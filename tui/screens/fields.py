"""Which fields of a design each place and each row's form shows, in their order."""

from __future__ import annotations

from model.design import Design
from model.entry import entries
from tui.widgets.field_list import Field

BATTERY_FIELDS = (
    Field("battery/autonomy_days"),
    Field("battery/chemistry"),
    Field("battery/depth_of_discharge", empty="by chemistry"),
    Field("battery/place"),
    Field("battery/margin"),
    Field("battery/end_of_life", "Left at end of life"),
    Field("battery/unit_v", "Voltage of one unit", empty="usual"),
    Field("battery/unit_ah", "Capacity of one unit", empty="usual"),
    Field("battery/installed_ah", "Battery already there", empty="none"),
    Field("battery/charge_a", "Charging current", empty="usual"),
    Field("battery/discharge_a", "Lasting current", empty="usual"),
    Field("battery/peak_a", "Peak current", empty="not known"),
)

DESIGN_FIELDS = (
    Field("name", "Name of the design"),
    Field("months_of_use"),
    Field("month"),
    Field("system/nominal_v"),
    Field("system/always_on_w"),
    Field("system/wiring_efficiency"),
    Field("system/cabin_heated_to_c", empty="not heated"),
)

FORM_ONLY = ("name", "system/nominal_v", "system/wiring_efficiency", "system/cabin_heated_to_c")
"""Fields of the design that no place shows."""

SHORT_LABELS = {
    "module/voc_v": "Voc, open circuit",
    "module/vmp_v": "Vmp, at most power",
    "module/isc_a": "Isc, short circuit",
    "module/imp_a": "Imp, at most power",
    "module/power_per_k": "Power per kelvin",
    "module/voc_per_k": "Voc per kelvin",
    "controller/limit_v": "Largest voltage in",
    "controller/limit_a": "Largest current out",
    "roof/length_m": "Length along van",
    "roof/width_m": "Width across van",
    "alternator/fitted": "Charges the battery",
    "alternator/kind": "Through",
    "alternator/charger_a": "Current to battery",
    "alternator/efficiency": "Charger efficiency",
    "alternator/vehicle_load_a": "Vehicle's own draw",
    "alternator/cable_drop_v": "Drop of its cables",
    "shore/charger_on": "Charger plugs into",
    "generator/bond": "Neutral to earth",
}
"""Labels that stay whole in the narrow list of Sun, under its headings; in the words that stand on a module's own label."""


def SUN_FIELDS(design: Design) -> tuple[Field, ...]:  # noqa: N802 - a list that depends on the design
    """Place, array, module, controller, roof and its obstacles; then the income that is not the sun's."""
    obstacles: list[Field] = []
    for index, obstacle in enumerate(design.roof.obstacles):
        base = f"roof/obstacles/{index}"
        obstacles += [
            Field("", f"Roof: {obstacle.name}"),
            Field(f"{base}/name", "Name"),
            Field(f"{base}/x_m"),
            Field(f"{base}/y_m"),
            Field(f"{base}/length_m"),
            Field(f"{base}/width_m"),
            Field(f"{base}/height_m"),
        ]
    weather = (Field("weather/source", "Weather"), Field("weather/lowest_c", "Lowest ever", "estimated"))
    return (
        Field("", "Place"),
        Field("place/name", "Name"),
        Field("place/latitude_deg"),
        Field("place/longitude_deg"),
        Field("place/elevation_m", empty="of the land"),
        *(weather if design.weather is not None else ()),
        Field("months_of_use"),
        Field("", "Array"),
        Field("array/count", empty="what fits"),
        Field("array/in_series", "In series"),
        Field("array/mounting"),
        Field("array/tilt_deg"),
        Field("array/azimuth_deg", "Azimuth", "to the sun"),
        *(Field(f"array/{name}") for name in ("shading", "soiling", "wiring", "connections", "mismatch", "light_induced",
                                              "nameplate")),
        Field("", "One module"),
        *_all("module", design.module),
        Field("", "Charge controller"),
        *_all("controller", design.controller),
        Field("", "Roof"),
        *_all("roof", design.roof),
        *obstacles,
        Field("", "Driving"),
        *_all("alternator", design.alternator),
        Field("", "Shore power"),
        *_all("shore", design.shore),
        Field("", "Generator"),
        *_all("generator", design.generator),
    )  # fmt: skip


def record_fields(path: str, record: object) -> tuple[Field, ...]:
    """Every field of the record at `path`, for the form of a row."""
    return _all(path, record)


def _all(path: str, record: object) -> tuple[Field, ...]:
    kind: type = type(record)
    return tuple(Field(f"{path}/{name}", SHORT_LABELS.get(f"{path}/{name}", "")) for name in entries(kind))
