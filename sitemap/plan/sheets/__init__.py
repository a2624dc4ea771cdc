"""One module a sheet: what it says, as blocks of the model."""
