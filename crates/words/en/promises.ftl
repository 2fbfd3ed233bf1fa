### promises
