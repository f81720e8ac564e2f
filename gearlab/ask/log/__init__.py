"""Road logs: what two shaft speeds over time tell of a train."""
