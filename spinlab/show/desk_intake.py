"""How a table comes onto the desk: a file, a paste, and the answers to what its headings leave open."""

from __future__ import annotations

import html as _html

import ipywidgets as w

_LABEL = {"description_width": "8em"}
_KINDS = ("units", "columns")


class Intake:
    """Widgets that hand a table to `opened`: called as ``opened(source, units={...}, columns={...})``.

    Parameters
    ----------
    opened : callable
        opens the table and shows it
    """

    def __init__(self, opened):
        self.opened, self._source, self._answers, self._asked = opened, None, {}, []
        self._name = ""
        self.upload = w.FileUpload(accept=".csv,.tsv,.txt,.xlsx", description="Open a file of your own",
                                   layout=w.Layout(width="auto", min_width="14em"))
        self.paste = w.Textarea(placeholder="or paste a table with its headings here, then press Tab",
                                rows=2, continuous_update=False, layout=w.Layout(width="auto", flex="1 1 24em"))
        self.open_points = w.VBox()
        row = w.Layout(flex_flow="row wrap", align_items="center", grid_gap="4px 14px")
        self.box = w.VBox([w.HBox([self.upload, self.paste], layout=row), self.open_points])
        self.upload.observe(self._uploaded, "value")
        self.paste.observe(self._pasted, "value")

    def _uploaded(self, change):
        if change["new"]:
            file = change["new"][0]
            self.opened(bytes(file["content"]), name=str(file.get("name", "")))

    def _pasted(self, change):
        if change["new"].strip():
            self.opened(change["new"].strip("\r\n") + "\n")

    def ask(self, source, asked, name=""):
        """Show what only the user can say about a table; each answer opens it again, with the answers before."""
        self._name = name
        if source is not self._source:
            self._source, self._answers = source, {kind: {} for kind in _KINDS}
        if asked.to_dict("records") == self._asked:
            return  # nothing new: whoever stands in a box stays there
        self._asked = asked.to_dict("records")
        self.open_points.children = [part for row in asked.itertuples() for part in self._question(row)]

    def _question(self, row):
        kind = row.cure.partition("=")[0]
        words = _html.escape(row.question)
        if kind not in _KINDS:  # it has to be put right in the table itself
            words += f" {_html.escape(row.cure[:1].upper() + row.cure[1:])}."
        told = w.HTML(f"<p style='line-height:1.4;margin:0'><b>{_html.escape(row.column)}</b>: {words}</p>")
        if kind not in _KINDS:
            return [told]
        answers = [("not said yet", ""), *((choice.replace("_", " "), choice) for choice in row.choices)]
        choice = w.Dropdown(description="It is", options=answers, style=_LABEL,
                            layout=w.Layout(width="24em", max_width="100%"))
        choice.observe(lambda change: change["new"] and self._answered(kind, row.column, change["new"]), "value")
        return [told, choice]

    def _answered(self, kind, column, answer):
        self._answers[kind][column] = answer
        self.opened(self._source, name=self._name, **self._answers)


def left_out(report, wanted) -> list[str]:
    """Why a `wanted` rule could not be asked, and which columns were not understood."""
    known, told = report.table.understood, []
    if wanted and "dynamic_loft" not in report.table.frame.columns:
        told.append("The rule asks for dynamic loft, and no column of this table was taken for it: every shot counts. If "
                    "the table has one, call it “dynamic loft [°]”.")
    unknown = known.loc[(known["name"] == "") & (known["how"] == "kept as it is"), "column"]
    if len(unknown):
        told.append(f"Not understood and left out: {', '.join(unknown)}. Headings that are understood are the words of "
                    "the trade, as in lesson 00: head speed, launch angle, spin, carry.")
    return told
