### bench
