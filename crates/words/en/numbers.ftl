### numbers
