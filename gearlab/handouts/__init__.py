"""What is printed for a class: worksheets, keys, cards, plans and exams."""
