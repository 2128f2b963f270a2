"""Sound on its way: air, directivity, loudspeakers, ways off walls, sums, delays."""
