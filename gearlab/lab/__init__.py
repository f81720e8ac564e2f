"""What a student is asked, and how an answer is judged."""
