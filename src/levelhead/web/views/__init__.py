"""What pages show, as their templates read it: answers, findings, lists, tables."""
