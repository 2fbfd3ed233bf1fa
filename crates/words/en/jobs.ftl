### jobs
