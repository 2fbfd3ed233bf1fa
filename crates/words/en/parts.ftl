### parts
