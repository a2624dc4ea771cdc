"""Settings every test shares."""

from tests import properties

properties.use()
