"""matplotlib without pyplot: `draw_x(result, ax) -> ax`, and a kept figure."""
