"""docs/methods.md speaks of every process model, and of what the user must know of all of them."""

from pathlib import Path

from hoggin.models import catalog

PAGE = (Path(__file__).parents[1] / "docs" / "methods.md").read_text(encoding="utf-8")


def test_every_model_of_the_catalog_is_described() -> None:
    names = {name for role in catalog.roles() for name in catalog.names(role)}
    assert {name for name in names if f"`{name}`" not in PAGE} == set()


def test_hazards_and_the_limits_of_prediction_are_said_first() -> None:
    start = PAGE.partition("\n## ")[0].lower()
    for words in ("not guarantees", "lock out", "guard", "silica", "local codes", "licensed"):
        assert words in start


def test_every_chapter_on_models_says_when_not_to_rely_on_it() -> None:
    for chapter in PAGE.split("\n## ")[1:-1]:  # the last is a list of limits
        assert "o not rely on it" in chapter, chapter.splitlines()[0]
