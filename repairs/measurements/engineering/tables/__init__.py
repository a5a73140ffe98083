"""Published values that shop tests are held to, each with its source and how sure it is."""
