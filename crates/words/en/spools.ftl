### spools
