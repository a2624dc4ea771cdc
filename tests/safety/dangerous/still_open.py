"""Rows of the table that are not barred yet, each with the item of issue 11 it waits for."""

OPEN: dict[str, str] = {
    "a machine that reaches as far as the line": "5",
    "a staged heap that feeds an hour": "5",
    "a school within the reach of embers": "8",
    "fuel cans within the reach of embers": "8",
    "a house of others within the reach of embers": "8",
    "the permit's conditions are not met": "3",
    "more rakers than adults": "9",
}
