"""Positions in an organisation's log.

An auto-increment id is no cursor: a row with a lower id may become visible after a phone has read
past it.  Here one statement both takes the positions and locks the organisation's row until the
transaction ends, so that positions become visible in their own order.  Taking many at once keeps
it one statement a batch; gaps do no harm.
"""

from django.db import connection

from inspect_app.people.models import Organisation


def take_positions(organisation: Organisation, count: int) -> int:
    """The first of `count` positions, all this transaction's own.  Call within `atomic`."""
    table = connection.ops.quote_name(Organisation._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(
            f"UPDATE {table} SET last_position = last_position + %s "  # noqa: S608 - our own name
            "WHERE id = %s RETURNING last_position",
            [count, organisation.pk],
        )
        (last,) = cursor.fetchone()
    return int(last) - count + 1
