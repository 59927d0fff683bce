"""A whole screen from a view: head, page, foot; or the pages that use all of it.

A page is imported when it is turned to: the first frame shows one of them, and waits for all it imports.
"""

from __future__ import annotations

from logbook.ui.cells import Role, Row, Span, fitted, margin_row, plain_row, spread
from logbook.ui.head import HEAD_ROWS, foot_row, head_rows
from logbook.ui.pages import now
from logbook.ui.view import SMALLEST, View

CABIN_PAGES = ("cabin", "describe", "own page", "work")


def screen_rows(view: View, *, plain: bool = False) -> list[Row]:
    """Exactly ``view.height`` rows of exactly ``view.width`` columns."""
    if view.page in ("emergency", "first", "help"):
        rows = _whole(view)
    elif view.small:
        rows = [*head_rows(view), _too_small(view)]
    else:
        body = spread(_body(view, plain=plain), count=view.height - HEAD_ROWS - 1)
        rows = [*head_rows(view), *body, foot_row(view)]
    rows = [fitted(row, width=view.width) for row in spread(rows, count=view.height)]
    return [plain_row(row) for row in rows] if plain else rows


def _whole(view: View) -> list[Row]:
    """The pages without head and foot."""
    if view.page == "emergency":
        from logbook.ui.pages import emergency  # noqa: PLC0415 - when turned to

        return emergency.rows(view)
    if view.page == "first":
        from logbook.ui.pages import first_run  # noqa: PLC0415 - when turned to

        return first_run.rows(view)
    from logbook.ui.pages import help as help_page  # noqa: PLC0415 - when turned to

    return help_page.rows(view)


def _body(view: View, *, plain: bool) -> list[Row]:
    if view.page in ("tonight", "grounds"):
        from logbook.ui.pages import tonight  # noqa: PLC0415 - when turned to

        return tonight.rows(view, plain=plain) if view.page == "tonight" else tonight.grounds(view)
    if view.page == "nights":
        from logbook.ui.pages import nights  # noqa: PLC0415 - when turned to

        return nights.rows(view, plain=plain)
    if view.page in CABIN_PAGES:
        return _cabin(view, plain=plain)
    if view.page in ("paper", "copying"):
        from logbook.ui.pages import paper  # noqa: PLC0415 - when turned to

        return paper.choice_rows(view) if view.page == "paper" else paper.copy_rows(view)
    if view.page == "list":
        from logbook.ui.pages import listing  # noqa: PLC0415 - when turned to

        return listing.rows(view)
    if view.page in ("year", "year part"):
        from logbook.ui.pages import year  # noqa: PLC0415 - when turned to

        return year.rows(view) if view.page == "year" else year.part_rows(view)
    return now.rows(view, plain=plain)


def _cabin(view: View, *, plain: bool) -> list[Row]:
    from logbook.ui.pages import cabin  # noqa: PLC0415 - when turned to

    if view.page == "work":
        from logbook.ui.pages import work  # noqa: PLC0415 - when turned to

        return work.rows(view)
    if view.page == "describe":
        return cabin.describe_rows(view)
    return cabin.danger_rows(view) if view.page == "own page" else cabin.rows(view, plain=plain)


def _too_small(view: View) -> Row:
    columns, rows = SMALLEST
    return margin_row("", Span(f"Pages need {columns} columns, {rows} rows.", Role.FAINT))


def row_count(view: View) -> int:
    """How many rows of the page can be chosen."""
    from logbook.ui.pages import emergency, nights, tonight  # noqa: PLC0415 - asked by a key, not at first
    from logbook.ui.pages import help as help_page  # noqa: PLC0415 - as above

    if view.page == "now":
        return len(view.latest)
    if view.page == "tonight":
        return len(view.evening.answer.choices) if view.evening else 0
    if view.page == "grounds":
        return tonight.scroll_rows(view)
    if view.page == "nights":
        return nights.row_count(view)
    if view.page == "emergency":
        return emergency.scroll_rows(view)
    if view.page in CABIN_PAGES:
        return _of_the_cabin(view)
    if view.page == "help":
        return help_page.scroll_rows(view)
    if view.page in ("list", "year", "year part"):
        return _beside_the_night(view)
    return len(view.paper)


def _of_the_cabin(view: View) -> int:
    """Rows of the Cabin page and those that lie over it."""
    from logbook.ui.pages import cabin, work  # noqa: PLC0415 - when turned to

    if view.page == "work":
        return work.scroll_rows(view)
    if view.page == "describe":
        return len(view.blanks)
    return len(view.emergency.lines) + 1 if view.page == "own page" else len(cabin.items(view))


def _beside_the_night(view: View) -> int:
    """Rows of a list or of the Year page."""
    from logbook.ui.pages import listing, year  # noqa: PLC0415 - when turned to

    return listing.row_count(view) if view.page == "list" else year.row_count(view)


def leap_rows(view: View) -> int:
    """How far PgUp and PgDn go on the page."""
    if view.page == "now":
        return now.list_count(view)
    if view.page == "nights":
        from logbook.ui.pages import nights  # noqa: PLC0415 - when turned to

        return nights.list_count(view)
    return 3
