"""The parts of `spinlab.evidence.table`, in the order a table passes them.

sheet (blanks, workbook) → layout → columns, cells → measures, words → reading; sidecar remembers, told reports.
"""
