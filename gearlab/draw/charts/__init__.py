"""Charts of a train: apply chart, products, shifts, speeds, plots."""
