"""One signal from two places: combs, subwoofers under mains, loudspeakers down the hall."""
