"""What the shell offers when the Tab key is pressed: scenarios, faults, keys, their words.

Nothing heavy is imported before it is needed, since a person waits for the answer. A name comes with
the equals sign after it where a value must follow; words with a space in them are left to be typed.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

Offer = tuple[str, str]
"""What may be typed, and a word on it for shells that show one."""


def _starting(incomplete: str, offers: Iterable[Offer]) -> list[Offer]:
    return [(text, about) for text, about in offers if text.startswith(incomplete) and " " not in text]


def scenarios(incomplete: str) -> list[Offer]:
    """Offer the shipped scenarios, then scenario files and directories."""
    from dryermodel.scenario.files import META, read, shipped_dir, shipped_scenarios

    paths = (shipped_dir() / f"{name}.toml" for name in shipped_scenarios() if name.startswith(incomplete))
    shipped = [(path.stem, str(read(path).raw.get(META, {}).get("title", ""))) for path in paths]
    return [*shipped, *_starting(incomplete, _files(incomplete))]


def visits(incomplete: str) -> list[Offer]:
    """Offer the visits that come with the program, then files and directories."""
    from dryermodel.scenario.files import shipped_dir

    names = sorted(path.stem for path in (shipped_dir() / "visits").glob("*.toml"))
    return _starting(incomplete, [*((name, "") for name in names), *_files(incomplete)])


def tools(incomplete: str) -> list[Offer]:
    """Offer the tools of measurements and looks, after the last comma of a list too."""
    from dryermodel.field.tools import known_tools

    before, comma, last = incomplete.rpartition(",")
    return [
        (f"{before}{comma}{name}", about) for name, about in _starting(last, [(n, "") for n in known_tools()])
    ]


def _files(incomplete: str) -> list[Offer]:
    """Return the .toml files and the directories in the directory that is being typed."""
    folder, slash, _ = incomplete.rpartition("/")
    try:
        found = sorted(path for path in Path(folder + slash or ".").iterdir() if path.name[:1] != ".")
    except OSError:
        return []
    directories = [(f"{folder}{slash}{path.name}/", "") for path in found if path.is_dir()]
    return [(f"{folder}{slash}{path.name}", "") for path in found if path.suffix == ".toml"] + directories


def faults(incomplete: str) -> list[Offer]:
    """Offer the faults of the catalogue; a graded one wants its severity."""
    return _starting(incomplete, _faults(""))


def _faults(prefix: str) -> list[Offer]:
    from dryermodel.scenario.faults import catalogue

    return [
        (f"{prefix}{fault.key}{'=' if fault.graded else ''}", fault.title) for fault in catalogue().values()
    ]


def fault_names(incomplete: str) -> list[Offer]:
    """Offer the faults by name alone, after the last comma of a list too."""
    from dryermodel.scenario.faults import catalogue

    before, comma, last = incomplete.rpartition(",")
    names = [(fault.key, fault.title) for fault in catalogue().values()]
    return [(f"{before}{comma}{name}", about) for name, about in _starting(last, names)]


def settings(incomplete: str) -> list[Offer]:
    """Offer every key a file may hold, and after its equals sign the words it may take."""
    from dryermodel.scenario.defaults import defaults

    key, equals, _ = incomplete.partition("=")
    if equals:
        return _starting(incomplete, ((f"{key}={word}", "") for word in _words(key)))
    own = [(f"{name}=", entry.about) for name, entry in defaults().items()]
    return _starting(incomplete, [*own, *((t.rstrip("=") + "=", a) for t, a in _faults("faults."))])


def _words(key: str) -> tuple[str, ...]:
    from dryermodel.scenario.schema import choices_of, is_switch, keys, rule_of

    if key not in keys():
        return ()
    rule = rule_of(key)
    return rule.words if rule else ("true", "false") if is_switch(key) else choices_of(key)


def quantities(incomplete: str) -> list[Offer]:
    """Offer the keys that can run through a range: quantities, and severities of graded faults."""
    from dryermodel.scenario.defaults import defaults
    from dryermodel.scenario.schema import keys, rule_of

    own = [(f"{key}=", defaults()[key].about) for key in keys() if rule_of(key) and key[:6] != "costs."]
    graded = [offer for offer in _faults("faults.") if offer[0].endswith("=")]
    return _starting(incomplete, [*own, *graded])


def uncertain(incomplete: str) -> list[Offer]:
    """Offer the keys of values that are not known well."""
    from dryermodel.studies.uncertainty.uncertain import ranges

    return _starting(incomplete, [(key, entry.about) for key, entry in ranges().items()])


def what_ifs(incomplete: str) -> list[Offer]:
    """Offer faults and keys, after the last comma of a list too."""
    before, comma, last = incomplete.rpartition(",")
    start = last.lstrip()
    kept = before + comma + last[: len(last) - len(start)]
    return [(f"{kept}{text}", about) for text, about in [*faults(start), *settings(start)]]


def visits_and_scenarios(incomplete: str) -> list[Offer]:
    """Offer the visits and scenarios that come with the program."""
    return [*visits(incomplete), *scenarios(incomplete)]


def outcomes(incomplete: str) -> list[Offer]:
    """Offer what a sweep can show and a sensitivity study can be about."""
    from dryermodel.studies.sweep.outcomes import OUTCOMES

    return _starting(incomplete, ((outcome.name, outcome.words) for outcome in OUTCOMES))


def criteria(incomplete: str) -> list[Offer]:
    """Offer what repairs can be put in order by."""
    from dryermodel.studies.repairs import CRITERIA

    return _starting(incomplete, ((name, "") for name in CRITERIA))


def gases(incomplete: str) -> list[Offer]:
    """Offer the gases the bench sums know."""
    return _starting(incomplete, (("natural", "natural gas"), ("propane", "LP gas")))


def ducts(incomplete: str) -> list[Offer]:
    """Offer the kinds of duct."""
    return _starting(incomplete, ((name, "") for name in _words("vent.roughness")))
