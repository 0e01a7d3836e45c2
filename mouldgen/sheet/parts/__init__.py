"""The parts of the job sheet, one a file: each makes its part from what has been worked out."""
