"""The report as a page to hand over: what it costs (`answer`), and what was decided and found (`decided`)."""
