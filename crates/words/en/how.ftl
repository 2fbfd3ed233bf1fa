### how
