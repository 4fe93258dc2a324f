"""What is printed: PDF with letters embedded, in millimetres."""
