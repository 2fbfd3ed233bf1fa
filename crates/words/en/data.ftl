### data
