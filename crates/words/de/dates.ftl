### dates
