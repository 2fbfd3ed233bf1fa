### hub
