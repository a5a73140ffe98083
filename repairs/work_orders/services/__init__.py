"""What people do to jobs: one function for each thing, one file for each subject."""
