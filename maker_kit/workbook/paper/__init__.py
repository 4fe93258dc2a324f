"""What is printed: pages in millimetres, on A4 or Letter, as PDF with its letters inside."""
