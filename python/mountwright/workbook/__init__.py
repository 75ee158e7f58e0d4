"""Workbooks: a job and a shop typed into a spreadsheet, and the plan beside them.

:func:`new` writes a workbook to fill in, :func:`plan` reads it back after a person has edited it in
any office program, and adds sheets with the answer. This needs the extra ``workbook``.
"""
