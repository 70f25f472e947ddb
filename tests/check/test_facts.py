"""Facts and kinds of machines are declared once, and the checker takes them as declared."""

from __future__ import annotations

import ast
import math
import re
from pathlib import Path

import pytest

from hoggin import schema
from hoggin.models import catalog
from hoggin.schema.facts import FACTS, Fact, facts_of, operation_of
from hoggin.schema.kinds import CLASS_KINDS, KINDS
from hoggin.schema.units import in_currency, known
from tests.check.reading import FEED, MATERIAL, check_text

_PACKAGE = Path(schema.__file__).parents[1]
_OWNED = [(owner, fact) for fact in FACTS for owner in fact.owners]
_IDS = [f"{owner} {fact.name}" for owner, fact in _OWNED]
_NUMBERS = [(owner, fact) for owner, fact in _OWNED if fact.dimension is not None]
_MANY = ("crusher", "screen", "grizzly_feeder")  # whose facts are too many for a hint
_RIGHT = re.compile(r"[\d.]+")


def _block(owner: str, line: str) -> str:
    """A source with a line in a block of an owner."""
    if owner in CLASS_KINDS or owner == "class":
        return f"class {'screen' if owner == 'class' else owner} own() {{ {line} }}"
    if owner in ("material", "grading", "band"):
        return f"{owner} own {{ {line} }}"
    if owner == "file":
        return f"{line}\nclass screen plain() {{ model partition: karra }}"
    price = "currency EUR; " if "EUR" in line and owner != "plant" else ""
    inside = {
        "plant": line,
        "feed": f"feed own {{ {line} }}",
        "product": f"product own {{ {line} }}",
        "deck": "screen s: std.plain() { deck top 20 mm slotted { " + line + " } }",
        "splitter": f"splitter own {{ out mill; out pile; {line} }}",
        "machine": f"screen own: plain() {{ {line} }}",
        "machine.operation": f"screen own: plain() {{ operation {{ {line} }} }}",
        "operation": f"blend own {{ operation {{ {line} }} }}",
        "plant.project": f"project {{ {line} }}",
        "section": f"section own: both() {{ {line} }}",
        "plant.operation": f"operation {{ {line} }}",
        "crusher.operation": f"crusher own: plain() {{ operation {{ {line} }} }}",
        "splitter.operation": f"splitter own {{ operation {{ {line} }} }}",
        **{
            f"{kind}.operation": f"{kind} own {{ operation {{ {line} }} }}"
            for kind in ("feed", "bin", "stockpile")
        },
    }.get(owner, f"{owner} own {{ {line} }}")
    plain = "class screen plain() { model partition: karra }\n"
    plain += "template both() { in a; out b; blend m; a -> m -> b }\n" * (owner == "section")
    return plain + f'plant "Hill" {{ {price}{inside} }}'.replace("std.plain", "plain")


def _codes_at(text: str, word: str) -> set[str]:
    """The codes reported within a line that begins with a word."""
    start = text.index(word)
    found = check_text(text).diagnostics
    return {d.code for d in found if start <= d.span.start < text.index("}", start)}


@pytest.mark.parametrize(("owner", "fact"), _OWNED, ids=_IDS)
def test_the_checker_takes_every_fact_as_its_sample_shows_it(owner: str, fact: Fact) -> None:
    text = _block(owner, f"{fact.name} {fact.sample}") + " # }"
    assert _codes_at(text, f"{fact.name} {fact.sample}") <= {
        *("E0201", "E0402"),  # a material, or the fact it needs
        "E0210",  # a check that no package has
    }


@pytest.mark.parametrize(
    ("owner", "fact"), _NUMBERS, ids=[f"{owner} {fact.name}" for owner, fact in _NUMBERS]
)
def test_a_number_beyond_its_bounds_is_refused_and_at_its_ends_is_not(
    owner: str, fact: Fact
) -> None:
    assert fact.dimension is not None
    unit = "" if fact.share or not fact.unit else in_currency(fact.unit, "EUR")

    def codes(value: float) -> set[str]:
        written = f"{abs(value):.12f} {unit}".rstrip()
        line = f"{fact.name} {f'0 {unit} - {written}' if value < 0 else written}"
        return _codes_at(_block(owner, line) + " # }", line)

    assert "E0306" in codes(1.01 * fact.high)
    assert "E0306" in codes(0.99 * fact.low if fact.low > 0 else -0.01 * fact.high)
    assert "E0306" not in codes(fact.high)
    assert ("E0306" in codes(fact.low)) == fact.above_low


@pytest.mark.parametrize("fact", FACTS, ids=[fact.name for fact in FACTS])
def test_a_declaration_is_whole(fact: Fact) -> None:
    assert fact.meaning
    assert fact.sample or fact.name == "existing"  # which stands alone
    if fact.dimension is None:
        assert fact.default is None
        return
    assert -math.inf < fact.low < fact.high < math.inf
    assert fact.default is None or fact.allows(fact.default)
    assert fact.source
    number = float(_RIGHT.match(fact.sample)[0])  # type: ignore[index]
    unit = fact.sample.partition(";")[0].partition(" ")[2]
    assert not unit or known(unit).dimension == fact.dimension
    assert not fact.share or unit == "%", number


# The other lines of a machine are settings of its class.
@pytest.mark.parametrize(
    "owner", sorted({owner for owner, _ in _OWNED} - {"file", "class", "machine"})
)
def test_the_checker_knows_no_other_facts(owner: str) -> None:
    """It lists what it knows where a name is unknown and near none."""
    found = check_text(_block(owner, "zzz 1")).diagnostics
    listed = {
        word
        for d in found
        if d.code in ("E0403", "E0212") and "`zzz`" in d.message  # the latter in a case
        for word in re.findall(r"`(\w+)`", d.help)
    }
    of_class = set(facts_of("class")) if owner in CLASS_KINDS else set()
    if owner.endswith("operation"):
        kind = {"": "blend", "machine": "screen"}
        of = owner.rpartition(".")[0]
        known = operation_of(kind.get(of, of))
    else:
        known = facts_of(owner)
    assert listed == {*known, *of_class} or (not listed and owner in _MANY)


@pytest.mark.slow
def test_nothing_else_lists_facts() -> None:
    """A literal of four names of one owner's facts would be a second table."""
    facts = [frozenset(facts_of(owner)) for owner in {owner for owner, _ in _OWNED}]
    for path in sorted(_PACKAGE.rglob("*.py")):
        if path == _PACKAGE / "schema" / "facts.py":
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            words = set(_words(node))
            if len(words) < 4:
                continue
            for of_one in facts:
                named = words & of_one
                assert len(named) < 4 or len(named) < len(words) / 2, (path.name, named)


def _words(node: ast.AST) -> list[str]:
    parts: list[ast.expr | None] = []
    if isinstance(node, ast.Dict):
        parts = list(node.keys)
    elif isinstance(node, ast.Tuple | ast.List | ast.Set):
        parts = list(node.elts)
    return [p.value for p in parts if isinstance(p, ast.Constant) and isinstance(p.value, str)]


@pytest.mark.slow
def test_kinds_of_machines_are_declared_once() -> None:
    """Beside the declarations, the table of symbols has how each kind looks."""
    known = (_PACKAGE / "schema" / "kinds.py", _PACKAGE / "report" / "drawing" / "symbols.py")
    for path in sorted(_PACKAGE.rglob("*.py")):
        if path in known:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            named = set(_words(node)) & set(KINDS)
            assert len(named) < 4, (path.name, named)


def test_every_role_a_kind_can_name_has_a_model_for_it() -> None:
    for kind in KINDS.values():
        assert all(catalog.names(role, kind.name) for role in kind.models), kind.name
    named = {role for kind in KINDS.values() for role in kind.models}
    assert named == set(catalog.roles())


def test_a_coefficient_out_of_its_range_names_class_model_and_range() -> None:
    text = f"""{MATERIAL}class crusher small() {{
  model breakage: matrix {{ k1 10 mm; k2 30 mm }}
  model capacity: rated {{ rated 0 t/h }}
  model power: bond
}}
plant "Hill" {{
{FEED}
  crusher one: small()
  rock -> one -> product sand
}}"""
    (found,) = [d for d in check_text(text).diagnostics if d.code == "E0404"]
    assert all(word in found.message for word in ("`rated` 0 t/h", "model `rated`", "`small`"))
    assert "0.1" in found.help and "20000 t/h" in found.help


def test_the_whole_range_of_a_free_number_is_held_to_a_facts_bounds() -> None:
    text = f"""{MATERIAL}plant "Hill" {{
{FEED}
  stockpile heap {{ height free(10 m to 200 m) }}
  rock -> heap -> product sand
}}"""
    (found,) = check_text(text).diagnostics
    assert found.code == "E0306" and "`height` is 200 m" in found.message
