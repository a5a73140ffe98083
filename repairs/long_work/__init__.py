"""Work that takes longer than a page may wait: it runs apart, tells its progress and can be started again."""
