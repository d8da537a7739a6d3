"""What holds for every test."""

from hypothesis import settings

# A test may be the first to import pint or to share its core with others: how long one example takes says nothing.
settings.register_profile("house", deadline=None)
settings.load_profile("house")
