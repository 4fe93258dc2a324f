"""Controls beside a result: a slider moves, one function of a room is called, one picture and its words change."""
