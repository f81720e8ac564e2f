"""What a train does: one-way clutches, torques, losses, power flow, and its facts."""
