"""Pictures: what page, paper and command line draw alike. SVG as text; no files, no judging."""
