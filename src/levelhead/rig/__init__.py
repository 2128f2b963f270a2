"""The rig: a show with its gear resolved, every figure in SI, every address known."""
