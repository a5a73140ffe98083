"""The shop's side of Mountside: people, customers, motors, jobs, documents and screens."""
