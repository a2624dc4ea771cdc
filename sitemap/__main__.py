"""The command line: `python -m sitemap check|assess|place|plan|export|compare|bring SITE …`.

A fault of the site file is one sentence each on standard error and exit status 2, and nothing is written. A gap is
kept, named and left out of the sums: exit status 0.
"""

from __future__ import annotations

import argparse
import datetime as dt
import gc
import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadFile, PitsteadError
from sitemap.many.found import several
from sitemap.opened import Opened, opened
from sitemap.reasons import reason
from sitemap.site.attributes import FIRST_YEAR, LAST_YEAR
from sitemap.site.file import site_text
from sitemap.site.model import Site
from sitemap.summary import decided, summary_text
from sitemap.telling import tell
from sitemap.terrain.terrain import Terrain

MANY = ("assess", "plan")  # the verbs that take several sites, folders and patterns


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; returns the exit status."""
    options = command_parser().parse_args(arguments)
    spoken = ("metric", "en")  # until it is known what the site speaks
    try:
        if options.verb in MANY:
            if several(options.sites) or (options.verb == "assess" and options.out):
                on = None if options.on is None else _dated(options.on)
                from sitemap.many.command import run_many

                return run_many(options, on, _today(options, on))
            if options.verb == "plan" and options.summary:
                raise BadFile(reason("command.summary_of_one"))
            options.site = options.sites[0]
        found = opened(Path(options.site))
        spoken = found.site.units, found.site.language
        _say_faults(found)
        options.photos = found.photos
        on = found.site.section("season").date("date") if options.on is None else _dated(options.on)
        return int(options.run(options, found.site, found.terrain, on))
    except PitsteadError as error:
        print(error.told(*spoken), file=sys.stderr)
    except BrokenPipeError:
        return 0
    return 2


class _Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one sentence."""

    def error(self, message: str) -> NoReturn:
        print(f"{message[:1].upper()}{message[1:]}: see {self.prog} --help.", file=sys.stderr)
        sys.exit(2)


def command_parser() -> argparse.ArgumentParser:
    """Every verb with what it takes."""
    parser = _Parser(prog="python -m sitemap", description="Works out a burn site from its file, without a network.")
    verbs = parser.add_subparsers(dest="verb", required=True)
    for verb, run, says in (
        ("check", _check, "say what is unfinished or unsound"),
        ("assess", _assess, "work out slash, burns, distances and water"),
        ("place", _place, "propose the best kiln spots"),
        ("plan", _plan, "write the burn-site plan"),
        ("export", _export, "write the site for other map programs and phones"),
        ("compare", _compare, "hold two layouts side by side: what differs"),
        ("bring", _bring, "take in what a phone, a spreadsheet or a map program holds; without -o only look"),
    ):
        one = verbs.add_parser(verb, help=says, description=says)
        file = "a site file (.geojson) or a site with its files (.zip)"
        if verb in MANY:
            one.add_argument("sites", metavar="SITE", nargs="+", help=f"{file}; several, folders and patterns too")
            one.add_argument("--workers", type=_count, metavar="N", help="processes at once; one for each core")
            one.add_argument("--scheduler", metavar="ADDRESS", help="a Dask scheduler that shares several sites out")
        else:
            one.add_argument("site", metavar="SITE", help=file)
        one.add_argument("--on", metavar="DATE", help="the burn date, like 2026-11-25; the site's own where left out")
        one.set_defaults(run=run)
        if verb in ("assess", "place"):
            one.add_argument("--json", action="store_true", help="as JSON, for scripts")
        if verb == "place":
            one.add_argument("--kilns", type=_count, default=1, metavar="N", help="kilns on hand (1)")
            one.add_argument("--spots", type=_count, default=3, metavar="N", help="kiln spots at most (3)")
            one.add_argument("--kiln", metavar="NAME", help="the kiln that is to stand there; the largest if left out")
        if verb == "assess":
            one.add_argument("-o", "--out", metavar="FILE", help="FILE.csv or FILE.gpkg, a row a site")
        if verb == "plan":
            one.add_argument(
                "-o", "--out", required=True, metavar="FILE", help="FILE.html or FILE.pdf; a folder for several sites"
            )
            one.add_argument("--summary", metavar="FILE", help="of several sites: FILE.csv or FILE.gpkg, a row a site")
            one.add_argument(
                "--sheets",
                metavar="KEYS",
                help="decision, map, crew, day, cold, calendar, permission, photos, annex; all if left out",
            )
            one.add_argument("--paper", metavar="SIZE", help="a4 or letter; by the units of the site if left out")
            one.add_argument(
                "--language",
                metavar="LANG",
                help="en, es or both (crew cards front and back); that of the site if left out",
            )
        if verb == "export":
            one.add_argument(
                "-o",
                "--out",
                required=True,
                metavar="FILE",
                help="FILE.gpkg, .kml, .gpx, .csv, .ics, .html (phone page) or .geojson",
            )
        if verb == "compare":
            one.add_argument("other", metavar="OTHER", help="the other site file")
            one.add_argument("--all", action="store_true", help="what is alike too")
        if verb == "bring":
            one.add_argument(
                "file",
                metavar="FILE",
                help="what the phone page made (.json), or GPX, CSV, GeoJSON, GeoPackage, FlatGeobuf, KML, KMZ or a "
                "zipped Shapefile",
            )
            one.add_argument("-o", "--out", metavar="OUT", help="the site with it (.geojson or .zip); a look without")
            one.add_argument("--kind", metavar="KIND", help="what the rows are, like pile; guessed if left out")
            one.add_argument("--update", action="store_true", help="also change what the site says differently")
            one.add_argument(
                "--system", metavar="NAME", help="of eastings and northings that say none, like EPSG:25833"
            )
    return parser


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is no whole number from 1 on")
    return int(text)


def _dated(text: str) -> dt.date:
    try:
        date = dt.date.fromisoformat(text)
    except ValueError as error:
        raise BadFile(reason("command.date", text=repr(text))) from error
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise BadFile(reason("command.year", text=repr(text), first=str(FIRST_YEAR), last=str(LAST_YEAR)))
    return date


def _say_faults(found: Opened) -> None:
    for fault in found.faults:
        print(tell(fault, found.site.units, found.site.language), file=sys.stderr)


def _today(options: argparse.Namespace, on: dt.date | None) -> dt.date:
    """The day somebody looks; for a past day that was asked for by name, that day: as it stood then."""
    today = dt.date.today()
    return min(today, on) if options.on is not None and on is not None else today


def _check(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:
    from sitemap.plan.fonts import lacking, texts_of
    from sitemap.plan.phrases import words_for

    assessment = assess(site, terrain, on=on, today=_today(options, on))
    for note in assessment.unknowns:
        print(note.told(site.units))
    for text, scripts in lacking(texts_of(site)).items():
        print(words_for(site)("shared.no_type_entered", text=text, scripts=", ".join(scripts)))
    for spot in assessment.spots:
        print("\n".join(decided(assessment, spot.id)))
    gaps = len(assessment.unknowns)
    if gaps:
        print(f"{gaps} gap{'s' * (gaps > 1)}.")
    elif all(decision.may_be_lit for decision in assessment.decisions):
        print("Nothing is missing.")
    return 0


def _assess(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:
    assessment = assess(site, terrain, on=on, today=_today(options, on))
    if options.json:
        from sitemap.report import report_text

        print(report_text(assessment), end="")
    else:
        print(summary_text(assessment), end="")
    return 0


def _place(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:
    from sitemap.siting.paper import place_json, place_text
    from sitemap.siting.propose import place

    assessment = assess(site, terrain, on=on, today=_today(options, on))
    placing = place(assessment, options.spots, options.kilns, kiln=options.kiln)
    print((place_json if options.json else place_text)(placing, site.units), end="")
    return 0


def _plan(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:
    from sitemap.plan.contents import ALL
    from sitemap.plan.papers import write_plan

    written: Assessment = assess(site, terrain, on=on, today=_today(options, on))
    keys = ALL if options.sheets is None else [key.strip() for key in options.sheets.split(",")]
    write_plan(written, Path(options.out), options.paper, keys, options.language, options.photos)
    print(f"Written: {options.out}")
    return 0


def _export(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:
    from sitemap.plan.exports import write_export

    write_export(assess(site, terrain, on=on, today=_today(options, on)), Path(options.out), options.photos)
    print(f"Written: {options.out}")
    return 0


def _compare(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:
    from sitemap.compare import comparison_text

    found = opened(Path(options.other))
    _say_faults(found)
    day = found.site.section("season").date("date") if options.on is None else on
    one, other = (
        assess(each, ground, on=date, today=_today(options, date))
        for each, ground, date in ((site, terrain, on), (found.site, found.terrain, day))
    )
    print(comparison_text(one, other, everything=options.all), end="")
    return 0


def _bring(options: argparse.Namespace, site: Site, terrain: Terrain | None, on: dt.date | None) -> int:  # noqa: ARG001
    from sitemap.site.bundle import carried_on
    from sitemap.site.imports.command import brought_in

    out = None if options.out is None else Path(options.out)
    own = Path(options.site)
    if out is not None and out.suffix.lower() not in (".geojson", own.suffix.lower()):
        raise BadFile(reason("command.ending", name=out.name, known=tuple(sorted({".geojson", own.suffix}))))
    try:
        with_it, lines = brought_in(
            site, Path(options.file), options.kind, update=options.update, system=options.system
        )
        print("\n".join(lines))
        if out is None:
            print("Nothing is kept: name the site file to write with -o.")
            return 0
        zipped = out.suffix.lower() == ".zip"
        out.write_bytes(carried_on(with_it, own.read_bytes()) if zipped else site_text(with_it).encode())
    except OSError as error:
        raise BadFile(reason("command.opened", path=str(error.filename), why=error.strerror or str(error))) from error
    print(f"Written: {options.out}")
    return 0


if __name__ == "__main__":
    gc.set_threshold(50_000, 20, 20)  # a verb is short, and leaves little rubbish to be looked for
    for stream in (sys.stdout, sys.stderr):  # some systems write another encoding into a pipe
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8")
    sys.exit(main())
