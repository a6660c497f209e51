"""What is fixed before the first ball and holds from the plan to the handout: which shots count, and the units spoken."""

from __future__ import annotations

from dataclasses import dataclass

from ..units import unit
from .fields import Field
from .screen import Rule, written
from .wording import check_units


@dataclass(frozen=True, kw_only=True)
class Protocol:
    """The rule for mis-hits, and the units that people read: metric or yards.

    A plan makes it, a session keeps it in its head (`rows`), live entry marks shots by it, and desk, handout and sentences
    take it over.

    >>> Protocol(units="yards").rows()
    [['units', 'yards']]
    """

    rule: Rule = Rule()
    units: str = "metric"

    def __post_init__(self):
        check_units(self.units)

    def rows(self) -> list[list[str]]:
        """Lines of a session's head: units, then the rule with its bands in the units of their columns."""
        rows = [["units", self.units]]
        if self.rule.bands:
            bands = [cell for band in self.rule.bands for cell in _cells(*band)]
            rows.append(["rule", self.rule.missing, *bands])
        return rows

    @classmethod
    def of(cls, rows: dict[str, list[str]]) -> Protocol | None:
        """The protocol in a session's head; None where there is none (sessions of format 1).

        Raises
        ------
        ValueError
            the lines were changed and cannot be read.
        """
        if "units" not in rows:
            return None
        (units,), rule = rows["units"], rows.get("rule")
        if rule is None:
            return cls(units=units)
        missing, *cells = rule
        bands = {}
        for heading, low, high in zip(cells[::3], cells[1::3], cells[2::3], strict=True):
            field = Field.written(heading)
            bands[field.name] = tuple(unit(field.unit).to_si(_number(end)) if end else None for end in (low, high))
        return cls(rule=written(missing=missing, **bands), units=units)


def _cells(name, low, high):
    field = Field.of(name)
    return field.heading, *("" if abs(end) == float("inf") else f"{unit(field.unit).from_si(end):.10g}"
                            for end in (low, high))


def _number(text):
    try:
        return float(text)
    except ValueError:
        raise ValueError(f"a band of the rule ends at {text!r:.20}, which is no number; "
                         "put that line back as it was") from None
