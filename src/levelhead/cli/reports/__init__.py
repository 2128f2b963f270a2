"""What commands print, as plain text: ``columns`` wraps and cuts, the rest is a report each."""
