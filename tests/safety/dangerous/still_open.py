"""Rows of the table that are not barred yet, each with the item of issue 11 it waits for; a row that is goes from here."""

OPEN: dict[str, str] = {}
