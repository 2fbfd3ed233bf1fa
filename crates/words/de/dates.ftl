### dates

dates-today = heute
dates-tomorrow = morgen
dates-yesterday = gestern
dates-day-time = { $day } { $time }
dates-by = { $day } bis { $time }
