"""What a plan takes from the bench log: the cupboard, and the last pH."""
