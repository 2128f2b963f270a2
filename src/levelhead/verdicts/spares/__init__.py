"""Single points of failure: what nothing stands in for."""
