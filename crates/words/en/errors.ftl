### errors
