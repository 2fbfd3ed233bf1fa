### client
