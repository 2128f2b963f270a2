"""Sheets on paper. This brings in the typesetter: import it inside the command that prints."""

from levelhead.paper.pdf import Page, sheets_to_pdf, sheets_to_pictures

__all__ = ["Page", "sheets_to_pdf", "sheets_to_pictures"]
