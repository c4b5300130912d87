"""How fast, how big, and how it grows: ``python tests/benchmarks`` prints the table."""

THEMES = ("panels", "falls", "frames", "odds", "next_try", "settings", "start")
