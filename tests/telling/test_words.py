"""Every finding has words, every word is used, and its figures are told in the units of the site."""

from __future__ import annotations

import ast
import datetime as dt
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from sitemap import tables
from sitemap.day.decision import WORDS
from sitemap.errors import BadValue, within
from sitemap.reasons import Fact, KilnName, Marked, Quantity, Range, Term, litres, metres, reason
from sitemap.safety.effects import EFFECTS, ORDER
from sitemap.safety.weather import LABELS
from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry
from sitemap.site.seen import FACTS
from sitemap.telling import LANGUAGES, filled, marked, quantity_text, sentence, tell, words
from sitemap.units import Toward
from sitemap.wording import BASIS_SIGNS, CHECKS, WAYS, check_label

PACKAGE = Path(__file__).parents[2] / "sitemap"
PLACE = re.compile(r"\{(\w+)")
ASKED = re.compile(r"\{(\w+)(?::([^{}]*))?\}")
BY_THE_TELLER = {
    *(
        "plain.and",
        "plain.or",
        "plain.more",
        "plain.not_known",
        "plain.kiln",
        "plain.kiln_words",
        "plain.kilns",
        "plain.kiln_head",
        "calendar.days",
        "calendar.months",
    )
}
# Spelled otherwise in America (Webster's) and in Britain (Oxford), from memory: words that read alike stand instead.
TWO_SPELLINGS = re.compile(
    r"(?<![_a-z])([a-z]*(neighbou?r|colour|favou?r|labou?r|behaviou?r|vapou?r)|(kilo|centi|milli)?(met(re|ers)|lit(re|er)s?)"
    r"|cent(re|er)|fib(re|er)|gr[ea]y|mou?ld|plough|plow|tyre|kerb|curb|licen[cs]e(?!d)|practise|defen[cs]e|alumini?um"
    r"|judge?ment|tonne|petrol|gasoline|programme|[a-z]+[iy]([sz]ation)|(recogn|organ|minim|real|anal)[iy][sz]e"
    r"|(label|travel|cancel)l?ed|smou?lder)(s|d|ed)?(?![_a-z])",
    re.IGNORECASE,
)
KNOWN_BY = {"school neighbour neighbor", "fuel diesel petrol", " :gray["}  # words of files and marks, never shown
NOT_SENTENCES = ("terms", "joined", "glossary")  # rooms of a language that hold single words


@cache
def parsed() -> tuple[tuple[Path, tuple[ast.AST, ...]], ...]:
    """Every module of the package with its parts: read once for all that looks through them."""
    paths = sorted(PACKAGE.rglob("*.py"))
    return tuple((path, tuple(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))) for path in paths)


def calls() -> Iterator[tuple[str, frozenset[str]]]:
    """(code, names of its facts) of every `reason("…", …)` in the package; a code is always written out."""
    for path, nodes in parsed():
        for node in nodes:
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "reason":
                facts = frozenset(keyword.arg or "**" for keyword in node.keywords)
                for code in codes(node.args[0], path):
                    yield code, facts


def codes(node: ast.expr, path: Path) -> list[str]:
    if isinstance(node, ast.IfExp):
        return [*codes(node.body, path), *codes(node.orelse, path)]
    assert isinstance(node, ast.Constant), f"{path}:{node.lineno}: the code of a reason is written out"
    return [str(node.value)]


def templates(language: str = "en") -> dict[str, str]:
    rooms = {room: each for room, each in words(language).items() if room not in NOT_SENTENCES}
    return {f"{room}.{word}": told for room, each in rooms.items() for word, told in each.items()}


def test_law_every_finding_has_words_that_ask_for_its_facts_and_no_others() -> None:
    have = templates()
    wrong = [
        f"{code}: facts {sorted(facts)}, words {have.get(code)!r}"
        for code, facts in calls()
        if "**" not in facts and (code not in have or facts != set(PLACE.findall(have[code])))
    ]
    assert wrong == []


def test_law_every_word_is_used() -> None:
    said = {code for code, _ in calls()} | BY_THE_TELLER
    assert sorted(code for code in templates() if code not in said) == []


def test_law_what_goes_wrong_under_the_hand_of_a_user_is_a_finding() -> None:
    """A file, an address, the store, a raster, a page, a word of the command line: by code, so in every language."""
    raised = ("BadValue", "BadShape", "BadSiteFile", "BadFile", "BadStore", "DamagedStore", "Overtaken")
    wrong = []
    for room in ("site", "geodesy", "terrain", "views", "plan", "many", "opened.py", "__main__.py"):
        for path, nodes in parsed():
            for node in nodes if path.relative_to(PACKAGE).parts[0] == room else ():
                called = node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""
                if called in raised and isinstance(node.args[0], ast.Constant | ast.JoinedStr):
                    wrong.append(f"{path.relative_to(PACKAGE)}:{node.lineno}")
    assert wrong == []


def said_on_pages() -> Iterator[tuple[str, str]]:
    """(where, words) of all English that a page or paper shows: files of words, and texts with a space in the code."""
    for path in (*PACKAGE.glob("*/words/en/*.toml"), *PACKAGE.glob("tables/ground*.toml")):
        yield from ((path.name, line.partition(" = ")[2]) for line in path.read_text(encoding="utf-8").splitlines())
    for path in PACKAGE.rglob("*.js"):
        texts = re.findall(r"\"([^\"\n]*)\"|`([^`\n]*)`", re.sub(r"//.*", "", path.read_text(encoding="utf-8")))
        yield from ((path.name, each) for pair in texts for each in pair if " " in each)
    for path, nodes in parsed():
        if path.relative_to(PACKAGE).parts[0] in ("views", "maps", "plan", "site", "siting"):
            told = {id(node.value) for node in nodes if isinstance(node, ast.Expr)}  # docstrings
            for node in nodes:
                if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
                    yield f"{path.name}:{node.lineno}", node.value if " " in node.value else ""


def test_law_no_word_is_spelled_in_two_ways() -> None:
    """A site in feet and one in metric share every sentence."""
    found = [
        f"{where}: {hit[0]} in {said[:60]}"
        for where, said in said_on_pages()
        if (hit := TWO_SPELLINGS.search(re.sub(r"\{[^{}]*\}", "", said))) and said not in KNOWN_BY
    ]
    assert found == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_a_language_tells_every_finding_with_the_same_facts(language: str) -> None:
    """A code added to the English words wants its words in every language (its terms: `words/es/terms.toml`)."""
    english, own = templates(), templates(language)
    assert sorted(english.keys() - own.keys()) == [], "write these too"
    assert sorted(own.keys() - english.keys()) == [], "no finding says these any more"
    asks = {code: {name for name, _ in ASKED.findall(told)} for code, told in english.items()}
    assert [code for code, told in own.items() if {name for name, _ in ASKED.findall(told)} != asks[code]] == []
    verbs = {how.partition("|")[0] for told in own.values() for _, how in ASKED.findall(told)}
    assert verbs <= {"", "list", "either", "chain", "sentence", "bare", "capital", "plural", "head"}


@pytest.mark.parametrize("language", [each for each in LANGUAGES if each != "en"])
def test_law_a_language_has_every_word_that_is_printed(language: str) -> None:
    """Kinds, verdicts, checks, ways, units that differ, what is seen at a place, and the terms written in the code."""
    facts = [entry.attribute(name).label for kind, names in FACTS.items() for entry in [_entry(kind)] for name in names]
    printed = {
        *(kind.label for kind in (*KINDS.values(), *EQUIPMENT.values(), *SECTIONS.values(), *RECORDS.values())),
        *(*EFFECTS, *ORDER, *CHECKS.values(), *WAYS.values(), *WORDS, *LABELS.values(), *facts, *terms()),
        *(check_label(check) for check in literals("checked")),
        *BASIS_SIGNS,
        *(str(row["text"]) for row in tables.load("ground_under_kiln").values()),
    }
    assert sorted(printed - words(language)["terms"].keys()) == []


def terms() -> Iterator[str]:
    """Every `Term("…")` written out in the package."""
    return literals("Term")


def literals(called: str) -> Iterator[str]:
    """The first argument of every call of a name, where it is written out."""
    for _, nodes in parsed():
        for node in nodes:
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == called:
                yield from (str(each.value) for each in node.args[:1] if isinstance(each, ast.Constant))


def _entry(kind: str) -> Entry:
    return Entry({}, (KINDS.get(kind) or RECORDS.get(kind) or SECTIONS[kind]).attributes)


def test_law_a_name_is_never_translated_and_a_kiln_reads_as_one() -> None:
    def told(name: Fact, language: str) -> str:
        return tell(reason("errors.above_zero", what=name, limit="0", value="1"), "metric", language)

    assert told(KilnName("K1"), "en").startswith("kiln K1 must")
    assert told(KilnName("Upper kiln"), "en").startswith("Upper kiln must")
    assert told(KilnName("K1"), "es").startswith("el horno K1 debe")
    assert told("Stream", "es").startswith("Stream debe")
    assert told(Term("Stream"), "es").startswith("Arroyo debe")


def test_law_spanish_tells_units_dates_and_joined_words() -> None:
    barred = reason("day.no_batch_fits", kiln=KilnName("K1"), needs=Quantity(6.9, "h", 2))
    assert tell(barred, "us", "es") == (
        "ninguna carga del horno K1 cabe en la luz del día: una pide 6.9 h desde encender hasta el agua"
    )
    far = reason("safety.too_close", name="Casa", distance=metres(20), required=metres(30))
    assert tell(far, "us", "es") == "Casa: a 66 pies, regla 98 pies"
    assert tell(reason("day.date", on=dt.date(2026, 12, 5)), "us", "es") == "fecha de la quema: sáb 5 dic 2026"


def test_law_a_finding_is_told_in_the_units_of_the_site() -> None:
    with pytest.raises(BadValue) as caught:
        within("Depth", -1.5, 0, 3, "m")
    fault = caught.value
    assert str(fault) == "Depth must lie between 0 m and 3 m; it is −1.5 m. Correct it."
    assert tell(fault.reason, "us") == "Depth must lie between 0 ft and 9.84252 ft; it is −4.92126 ft. Correct it."


def test_law_water_to_fetch_rounds_up_and_spare_distance_down() -> None:
    assert quantity_text(litres(144.7, 2, "up"), "metric") == "150 L"
    assert quantity_text(litres(140.0, 2, "up"), "metric") == "140 L"
    assert quantity_text(metres(14.96, 2, "down"), "metric") == "14 m"
    assert quantity_text(metres(-14.2, 2, "down"), "metric") == "−15 m"


def test_law_two_figures_are_told_apart() -> None:
    assert quantity_text(Quantity(14.8, "l_min", 2, apart=15.2), "metric") == "14.8 L/min"
    assert quantity_text(Quantity(9.4, "l_min", 2, apart=126.0), "metric") == "9.4 L/min"


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"limit": "0", "value": "{1}"}, "a{b} must be above 0; it is {1}. Correct it."),
        ({"limit": metres(0), "value": None}, "a{b} must be above 0 m; it is not known. Correct it."),
        ({"limit": dt.date(2026, 12, 5), "value": 1200}, "a{b} must be above Sat 5 Dec 2026; it is 1,200. Correct it."),
        ({"limit": Range(1, 2, 3, "m"), "value": ("a", "b")}, "a{b} must be above 2 m (1–3); it is a, b. Correct it."),
    ],
)
def test_law_each_sort_of_fact_is_told(facts: dict[str, Fact], told: str) -> None:
    assert tell(reason("errors.above_zero", what="a{b}", **facts)) == told


def test_law_a_sentence_has_a_capital_and_a_stop() -> None:
    assert (
        sentence(reason("errors.above_zero", what="x", limit="0", value="1"))
        == "X must be above 0; it is 1. Correct it."
    )


def test_law_only_marked_figures_of_a_text_are_converted() -> None:
    assert marked("a {20 m} run of the 20 m line") == "a 20 m run of the 20 m line"
    assert marked("a {20 m} run of the 20 m line", "us", 2) == "a 66 ft run of the 20 m line"
    said = reason("safety.ground", text=Marked("piles up to {2.4 m} across"))  # 2.4 / 0.3048 is 7.874
    assert sentence(said, "us") == "Piles up to 7.9 ft across."


@pytest.mark.parametrize(
    ("how", "told"), [("", "a, b, c"), (":list", "a, b and c"), (":either", "a, b or c"), (":chain", "a; b; c")]
)
def test_law_several_are_told_as_the_words_ask(how: str, told: str) -> None:
    assert filled(f"{{names{how}}}", {"names": ("a", "b", "c")}) == told
    assert filled(f"{{names{how}}}", {"names": ("a",)}) == "a"


def test_law_what_is_to_spare_or_to_fetch_is_not_moved_by_the_last_bit_of_a_float() -> None:
    """In IEEE 754 doubles 0.3 / 0.1 is 2.9999999999999996, 0.7 / 0.1 is 6.999999999999999."""
    assert [quantity_text(Quantity(each, "m", 1, "down"), "metric") for each in (0.3, 0.7)] == ["0.3 m", "0.7 m"]
    assert quantity_text(Quantity(1.1, "m", 2, "up"), "metric") == "1.1 m"


@pytest.mark.parametrize("language", LANGUAGES)
def test_law_a_sentence_names_no_more_than_anybody_reads(language: str) -> None:
    """Of hundreds the first, and how many more; of a few every one."""
    many = tuple(f"h{n}" for n in range(300))
    found = filled("{names}", {"names": many}, language=language)
    assert found.startswith("h0, h1, h2")
    assert len(found) < 160
    assert found.split(", ")[-1].split()[0] == str(300 - found.count("h"))
    assert filled("{names}", {"names": many[:9]}, language=language) == ", ".join(many[:9])


def test_law_kilns_said_together_are_called_so_once() -> None:
    barred = reason("season.smoke_as_wet", name=(KilnName("K1"), KilnName("K2"), KilnName("K3")))
    assert tell(barred).startswith("kilns K1, K2 and K3: ")
    assert tell(barred, language="es").startswith("los hornos K1, K2 y K3: ")
    named = reason("season.smoke_as_wet", name=(KilnName("K1"), KilnName("North kiln")))
    assert tell(named).startswith("kiln K1 and North kiln: ")


@pytest.mark.parametrize("count", [2, 60, 61, 62])
def test_law_sixty_are_named_and_of_more_the_first_twenty(count: int) -> None:
    """Ours, as the sheets hold them: whoever needs all has the list itself."""
    names = tuple(f"h{n}" for n in range(count))
    told = filled("{names:list}", {"names": names})
    assert [name for name in names if name in re.split(r", | and ", told)] == list(names if count <= 60 else names[:20])
    assert ("more" in told) == (count > 60)
    assert count <= 60 or str(count - 20) in told


@pytest.mark.parametrize(
    ("words_", "fact", "told"),
    [
        ("{f}", dt.time(7, 5), "07:05"),
        ("{f}", dt.datetime(2026, 12, 5, 17, 30), "Sat 5 Dec 2026, 17:30"),
        ("{f}", True, "True"),
        ("{f}", -1200, "-1,200"),
        ("{f}", 0.012345, "0.0123"),
        ("{f}", 1234.5, "1,230"),
        ("{f}", None, "not known"),
        ("{f:plural|heap|heaps}", 1, "heap"),
        ("{f:plural|heap|heaps}", 0, "heaps"),
        ("{f:plural|heap|heaps}", 2, "heaps"),
        ("{f:capital}", "a house", "A house"),
        ("{f:sentence}", "a house", "A house."),
        ("{f:sentence}", "why?", "Why?"),
        ("{f:bare}", reason("plain.not_known"), "not known"),
        ("{f:bare}", "Mill Rd.", "Mill Rd."),
        ("{f:list}", ("a", "b"), "a and b"),
        ("{f:either}", ("a", "b"), "a or b"),
        ("{f:chain}", ("a", "b"), "a; b"),
        ("{f}", ("a", "b"), "a, b"),
        ("{f:list}", (), ""),
        ("{f:list}", (KilnName("K1"),), "kiln K1"),
        ("{f:list}", (KilnName("K1"), "K2"), "kiln K1 and K2"),
        ("{f:head}", KilnName("K1"), "Kiln K1"),
        ("{f:head}", KilnName("upper kiln"), "Upper kiln"),
        ("{f}", Range(8.4, 12, 17, "t"), "12 t (8.4–17)"),
        ("{f}", Range(811, 811, 811, "l"), "820 L"),
        ("{f}", Marked("{3–5 m} apart"), "3–5 m apart"),
        ("{f}", Quantity(0.153, "fraction", 2), "15%"),
    ],
)
def test_law_each_fact_has_one_form(words_: str, fact: Fact, told: str) -> None:
    assert filled(words_, {"f": fact}) == told


@pytest.mark.parametrize(
    ("figure", "metric", "us"),
    [
        ("{1,000 m}", "1,000 m", "3,280 ft"),
        ("{−5 °C}", "−5 °C", "23 °F"),
        ("{3–5 m}", "3–5 m", "9.84–16 ft"),
        ("{3 to 5 m}", "3 to 5 m", "9.84 to 16 ft"),
        ("{3 and 5 m}", "3 and 5 m", "9.84 and 16 ft"),
        ("{3 m up}", "3 m", "10 ft"),
        ("{0.5 m up}", "0.5 m", "2 ft"),
        ("{1.2345 m}", "1.23 m", "4.05 ft"),
    ],
)
def test_law_marked_figures_keep_three_digits_and_a_least_one_is_never_told_less(
    figure: str, metric: str, us: str
) -> None:
    """A foot is 0.3048 m (NIST SP 811), and 5 °C of frost is 23 °F."""
    assert (marked(f"x {figure} y"), marked(f"x {figure} y", "us")) == (f"x {metric} y", f"x {us} y")


@pytest.mark.parametrize(
    ("value", "apart", "toward", "told"),
    [
        (14.8, 15.2, "nearest", "14.8 m"),
        (99.6, 100.4, "nearest", "99.6 m"),
        (1.00004, 1.0, "nearest", "1 m"),
        (20.3, 20.1, "up", "21 m"),
        (20.1, 20.3, "down", "20 m"),
        (20.0, 20.0, "nearest", "20 m"),
    ],
)
def test_law_of_two_figures_the_more_reads_as_more_or_four_digits_did_not_do(
    value: float, apart: float, toward: Toward, told: str
) -> None:
    assert quantity_text(Quantity(value, "m", 2, toward, apart), "metric") == told
