"""The reading of a table in plain words."""

from __future__ import annotations

from ...units import written

_MOST, _LOOKED_AT = 12, 500


def report(table) -> str:
    """What was read, understood, set apart, refused and asked, as a person would want to hear it."""
    count = table.counts
    first = (f"{table.name} ({table.how}): {_count(count['read'], 'line')} read = {_count(count['shots'], 'shot')} "
             f"+ {written(count['set apart'])} set apart + {written(count['refused'])} refused.")
    parts = [first, _questions(table), _refused(table), _understood(table), _apart(table)]
    if table.notes:
        parts.append("Good to know\n" + "\n".join(f"  {note}" for note in table.notes))
    return "\n\n".join(part for part in parts if part)


def _count(count, what):
    return f"{written(count)} {what}" + ("" if count == 1 else "s")


def _questions(table):
    rows = [f"  {row.column}: {row.question}.\n      Say: {row.cure}" if not row.question.endswith("?") else
            f"  {row.column}: {row.question}\n      Say: {row.cure}" for row in table.asked.itertuples()]
    return "To be answered by you (until then the column is kept as written)\n" + "\n".join(rows) if rows else ""


def _refused(table):
    rows, first = [], table.refused.head(_LOOKED_AT)
    for (column, value, reason, cure), group in first.groupby(["column", "value", "reason", "cure"], sort=False):
        cell = f"{column}: “{value[:40]}” {reason}" if column else reason
        rows.append(f"  {_where(group['line'])}: {cell}.\n      Cure: {cure}.")
    return "Refused (kept in .refused)\n" + _few(rows, len(table.refused) - len(first)) if rows else ""


def _understood(table):
    known = table.understood[table.understood["name"] != ""]
    others = table.understood[table.understood["name"] == ""]
    width = max([len(column) for column in known["column"]], default=0)
    rows = [f"  {row.column:<{width}}  {row.name_}{f' in {row.unit}' if row.unit else ''}, {row.how}"
            for row in known.rename(columns={"name": "name_"}).itertuples()]
    text = "Understood\n" + "\n".join(rows) if rows else "No column was understood"
    kept = [column for column, how in zip(others["column"], others["how"]) if how == "kept as it is"]
    return text + (f"\n  kept as they are: {', '.join(kept)}" if kept else "")


def _apart(table):
    rows = [f"  {_where(group['line'])}: {reason}" for reason, group in table.set_apart.groupby("reason", sort=False)]
    return "Set apart (kept in .set_apart)\n" + _few(rows) if rows else ""


def _where(lines):
    lines = [str(line) for line in lines]
    return f"line{'s' if len(lines) > 1 else ''} {', '.join(lines[:8])}{' …' if len(lines) > 8 else ''}"


def _few(rows, beyond=0):
    more = max(0, len(rows) - _MOST) + beyond
    return "\n".join(rows[:_MOST] + ([f"  … and {written(more)} more"] if more else []))
