### machines
