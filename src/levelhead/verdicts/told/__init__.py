"""What a finding is: severity, margin and chance, words, and findings folded together."""
