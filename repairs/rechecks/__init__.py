"""Re-checks: signed stacks judged again by the policy, the book and the plates of today. What was stored stays."""
