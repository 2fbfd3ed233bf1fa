### dates

dates-today = today
dates-tomorrow = tomorrow
dates-yesterday = yesterday
dates-day-time = { $day } { $time }
dates-by = { $day } by { $time }
