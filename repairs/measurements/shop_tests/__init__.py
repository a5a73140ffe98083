"""Shop tests of a job: made at the bench, judged by the engine, kept with the answer of the day."""
