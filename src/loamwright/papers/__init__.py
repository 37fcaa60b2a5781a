"""What is printed, and the grid in which it is typed later: one model for both, so that rows and order agree."""
