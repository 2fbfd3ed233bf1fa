### judging
