"""What leaves the house on paper or as a file: sheets and the book as HTML and PDF, drawings, tables."""
