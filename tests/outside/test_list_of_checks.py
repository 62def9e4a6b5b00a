"""The page beside these checks names each of them; its numbers are taken when it is written."""

from tests.outside.list_checks import HERE, check_files, claims_of


def test_every_check_and_claim_stands_on_the_page():
    page = (HERE / "README.md").read_text(encoding="utf-8")
    claims = [claim.words for path in check_files() for _, claim in claims_of(path)]
    missing = [words for words in claims if f"| {words} |" not in page]
    assert missing == [], "run: uv run python -m tests.outside.list_checks"
