"""The battery: chemistries, sizing, rate, temperature, life, gas, charging and storage over the winter."""
