"""Twelve months of yield against a plain pvlib ModelChain over 8 760 hours of the same monthly means, side by side."""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable

import numpy as np
import pandas as pd
import pvlib

from model.design import Array, Controller, Module
from model.supply.climate import Climate, climate_at
from model.supply.irradiance import sky_of
from model.supply.module_yield import kept_after_losses, yields

ROUNDS = 20


def ratio() -> float:
    """Time of the hourly run over time of the twelve months, both warm; prints both, and how far their years differ."""
    climate = climate_at(37.13, -6.49, 3.0)
    module, array, controller = Module(), Array(tilt_deg=35.0, mounting="open rack"), Controller()
    weather, chain = hours_of(climate), model_chain(climate, module, array)

    def months() -> float:
        # Past the cache of answers, as after an edit that it has not seen; the share of the glass at a tilt stays known.
        answer = yields.__wrapped__(climate, module, array, controller, 12.0)
        return sum(month.yield_wh_per_w_day for month in answer) / 12

    def hours() -> float:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # pvlib still asks pandas for a name that pandas is about to drop
            chain.run_model(weather)
        return float(chain.results.dc.sum()) * kept_after_losses(array) / 365

    (months_s, one), (hours_s, other) = best_of(months), best_of(hours, rounds=3)
    print(f"12 months of yield       {months_s * 1000:8.2f} ms   {one:.3f} Wh/W a day")
    print(f"pvlib ModelChain, 8760 h {hours_s * 1000:8.2f} ms   {other:.3f} Wh/W a day ({one / other - 1:+.1%})")
    print(f"ratio                    {hours_s / months_s:8.1f}")
    return hours_s / months_s


def hours_of(climate: Climate) -> pd.DataFrame:
    """A year of identical days in each month: GHI by the same half-hours, split by pvlib's hourly Erbs, mean temperatures."""
    index = pd.date_range("2001-01-01 00:30", periods=8760, freq="h", tz="UTC")
    sky = sky_of(np.array(climate.ghi_kwh_per_m2_day)[:, None] * 1000, climate.latitude_deg)
    by_hour = sky.ghi_w_per_m2[:, 0, :].reshape(12, 24, 2).mean(axis=2)
    month, hour = index.month.to_numpy() - 1, index.hour.to_numpy()
    ghi = by_hour[month, hour]
    # Universal time at longitude 0 is near solar time: the chain is given that meridian.
    zenith = pvlib.solarposition.get_solarposition(index, climate.latitude_deg, 0.0)["zenith"].to_numpy()
    split = pvlib.irradiance.erbs(ghi, zenith, index.day_of_year.to_numpy())
    air = np.array(climate.temperature_c)[month]
    columns = {"ghi": ghi, "dni": split["dni"], "dhi": split["dhi"], "temp_air": air, "wind_speed": np.ones(8760)}
    return pd.DataFrame(columns, index=index)


def model_chain(climate: Climate, module: Module, array: Array) -> pvlib.modelchain.ModelChain:
    """PVWatts behind the same mounting; the inverter stands by, only the direct current is read."""
    mount = pvlib.pvsystem.FixedMount(array.tilt_deg, 180.0)
    panel = pvlib.pvsystem.Array(
        mount,
        albedo=0.2,
        module_parameters={"pdc0": 1.0, "gamma_pdc": module.power_per_k},
        temperature_model_parameters={"u0": 25.0, "u1": 6.84},
    )
    system = pvlib.pvsystem.PVSystem(arrays=[panel], inverter_parameters={"pdc0": 1.0})
    location = pvlib.location.Location(climate.latitude_deg, 0.0, "UTC", climate.elevation_m)
    return pvlib.modelchain.ModelChain(
        system,
        location,
        transposition_model="perez",
        aoi_model="physical",
        spectral_model="no_loss",
        temperature_model="faiman",
        dc_model="pvwatts",
        ac_model="pvwatts",
        losses_model="no_loss",
    )


def best_of(run: Callable[[], float], rounds: int = ROUNDS) -> tuple[float, float]:
    """Shortest time of some rounds in seconds, and the answer; the first round warms the caches and does not count."""
    answer = run()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times), answer


if __name__ == "__main__":
    ratio()
