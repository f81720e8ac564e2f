"""Questions asked of many flows: survey, charts, shifts, roll-back, counts."""
