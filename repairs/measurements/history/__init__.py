"""What the visits of a motor tell together: trends, what came back different, what failed again."""
