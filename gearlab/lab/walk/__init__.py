"""A class walks a train: steps that are asked, voted on, turned and told."""
