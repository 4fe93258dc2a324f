"""What a maker does in a workshop of her own: begin it, write prices down, write a report."""
