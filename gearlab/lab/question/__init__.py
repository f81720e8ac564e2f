"""Questions as data, reading and checking answers, and the usual slips."""
