"""The burn-site plan: what is said (`contents.plan_of`), and the documents it becomes (`papers`).

Nothing is loaded here: a calendar file, or the fonts a name is looked up in, do without the sheets.
"""
