### season
