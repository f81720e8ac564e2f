"""Results in words: narration, set-up cards, the glossary."""
