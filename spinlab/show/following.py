"""Text that follows the desk: built from its report, and built anew when another table, rule or unit is chosen."""

from __future__ import annotations

import html as _html

from ..messages import message_of


class Following:
    """Words built from the report of a desk.

    Parameters
    ----------
    desk : Desk
    build : callable
        ``build(report)`` returns Markdown (an object of IPython, or text)
    """

    def __init__(self, desk, build):
        self.desk, self.build, self._view = desk, build, None

    @property
    def markdown(self) -> str:
        """The words as they are now; why there are none, where the table on the desk has no report."""
        if not self.desk.has_report:
            return self.desk.brief
        try:
            made = self.build(self.desk.report)
        except Exception as error:  # a table can lack what these words need
            return f"Nothing can be said of this table here: {message_of(error)}."
        return getattr(made, "data", made)

    def show(self):
        """Bring what is seen up to date."""
        if self._view is not None:
            self._view.value = self._html()

    def _html(self):
        import mistune

        from .plate import STYLE

        # the words come from tables and their owners: their markup is no markup here, but for what unfolds
        told = mistune.create_markdown(escape=False, plugins=["table"])(_only_folds(self.markdown))
        return f"{STYLE}<div class='spin-following'>{told}</div>"

    def _repr_mimebundle_(self, **options):
        import ipywidgets as w

        if self._view is None:
            self._view = w.HTML(self._html())
            self._view.add_class("spin-desk")
            self.desk._followers.add(self)
        return self._view._repr_mimebundle_(**options) | {"text/plain": self.markdown}


_FOLDS = ("<details>", "</details>", "<summary>", "</summary>")


def _only_folds(text):
    """Markdown whose only markup are the tags that fold."""
    told = _html.escape(text, quote=False)
    for tag in _FOLDS:
        told = told.replace(_html.escape(tag), tag)
    return told.replace("&gt; ", "> ")
