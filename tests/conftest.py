"""Settings every test shares."""

from hypothesis import settings

# The default time limit of an example is a timed test, and unseeded examples are another test every day.
settings.register_profile("pitstead", deadline=None, derandomize=True, database=None)
settings.load_profile("pitstead")
