"""docs/errors.md is what the error tree says."""

from docs.make_errors import PAGE, page, tree
from mouldgen import errors


def test_the_committed_page_is_the_one_the_tree_makes() -> None:
    assert PAGE.read_text(encoding="utf-8") == page()


def test_ids_are_unique() -> None:
    ids = [kind.id for _, kind in tree(errors.MouldgenError)]

    assert len(ids) == len(set(ids))


def test_the_drawing_at_the_top_of_the_file_names_every_class() -> None:
    drawing = errors.__doc__ or ""

    assert [
        kind.__name__ for _, kind in tree(errors.MouldgenError) if kind.__name__ not in drawing
    ] == []
