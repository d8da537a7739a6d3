"""Loads -> energy and charge a day, month by month; hour-by-hour profile, peak and surge."""
